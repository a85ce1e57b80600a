import { clockWords } from '../../shared/telling/words.ts'
import { say } from '../../shared/words/say.ts'
import type { Unkept } from './ledger.ts'

interface KeepingFailures {
  /** Housekeeping or a commit failed, or works again. */
  note(part: string, failure: Error | null): void
  /** What fails just now, in one sentence; null while all is stored. */
  words(): string | null
}

/** What of keeping fails, by part, each with its sentence; `report` hears of each change how all of it is. */
export function keepingFailures(report: (isWell: boolean, text: string) => void): KeepingFailures {
  const failing = new Map<string, string>()

  function words(): string | null {
    const [first] = failing.values()
    return first === undefined ? null : first.slice(0, 400)
  }

  return {
    note(part, failure) {
      if (failure === null) failing.delete(part)
      else failing.set(part, failure.message)
      report(failing.size === 0, words() ?? say('Everything is stored again.'))
    },
    words,
  }
}

/** What was lost because keeping failed for so long. */
export const unkeptWords = ({ count, from, to }: Unkept, zone: string): string =>
  say(
    '{count} readings between {clock} and {clock2}: memory was full while nothing could be stored. They were judged all the same.',
    { count, clock: clockWords(from, zone), clock2: clockWords(to, zone) },
  )
