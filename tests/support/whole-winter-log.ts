const weekdays = ['Sunday', 'Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday'] as const

export type Word = 'due' | 'late' | 'done' | 'asked' | 'refused' | 'warned' | 'judged' | 'journal' | 'phone'

/**
 * The winter as one text for people to read: what was due, done, refused and why. A reason that was told before is not
 * told again.
 */
export function winterLog(title: string) {
  const lines: string[] = [title]
  const told = new Set<string>()
  let date = ''
  let isNamed = false
  const say = (word: Word, sentence: string): void => {
    if (!isNamed) lines.push('', `${date}, ${weekdays[new Date(`${date}T00:00:00Z`).getUTCDay()]}`)
    isNamed = true
    lines.push(`  ${word.padEnd(8)}${sentence}`)
  }
  return {
    day(next: string): void {
      date = next
      isNamed = false
    },
    say,
    /** Title and reason; the reason alone the first time. */
    once(word: Word, head: string, reason: string): void {
      say(word, told.has(reason) ? `${head}.` : `${head}. ${reason}`)
      told.add(reason)
    },
    text: (): string => `${lines.join('\n')}\n`,
  }
}

export type WinterLog = ReturnType<typeof winterLog>
