import { useSignal, useSignalEffect } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import type { JournalLine } from '../../schemas/api.ts'
import { journalSentence } from '../../shared/telling/journal-words.ts'
import { Moon } from '../moon/moon.tsx'
import { query } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { useWords } from '../page/use-words.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { joined } from './joined.ts'
import { held } from '../words/held.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'
import { Skeleton } from '../parts/skeleton.tsx'

/** Lines fetched at a time: about two screens of a phone. */
const pageSize = 40

/** Everything that was raised, told and done, newest first; new lines appear as they are written. */
export function JournalList() {
  const page = usePage()
  const { names, when } = useWords()
  const act = useAct()
  const lines = useSignal<readonly JournalLine[]>([])
  const isAlarmsOnly = useSignal(false)
  const hasOlder = useSignal(false)

  const fetchLines = (before: number | null): Promise<void> =>
    act.run(
      () =>
        page.ask<JournalLine[]>(
          'GET',
          `/api/journal${query({ before, limit: pageSize, alarmsOnly: isAlarmsOnly.value ? true : null })}`,
        ),
      (older) => {
        lines.value = before === null ? older : joined(lines.value, older)
        hasOlder.value = older.length === pageSize
      },
    )
  useEffect(() => void fetchLines(null), [isAlarmsOnly.value])
  useSignalEffect(() => {
    const event = page.event.value
    if (event?.kind !== 'journal') return
    if (isAlarmsOnly.peek() && event.line.alarm === undefined) return
    lines.value = joined(lines.peek(), [event.line])
  })

  const oldest = lines.value[lines.value.length - 1]
  return (
    <section class="journal" aria-labelledby="journal">
      <header class="journal-head">
        <h2 id="journal">{say('Journal')}</h2>
        <label class="check">
          {sayWith('{input}Alarms only', {
            input: (
              <input
                type="checkbox"
                checked={isAlarmsOnly.value}
                onChange={(event) => (isAlarmsOnly.value = event.currentTarget.checked)}
              />
            ),
          })}
        </label>
      </header>
      {lines.value.length === 0 && act.isBusy.value && <Skeleton shape="lines" />}
      <ol class="journal-lines">
        {lines.value.map((line) => (
          <li key={line.id}>
            <time dateTime={new Date(line.at).toISOString()}>{when(line.at, line.place ?? null)}</time>
            <span class="journal-sign">
              {line.kind === 'raised' && line.priority !== undefined && <Moon priority={line.priority} />}
            </span>
            <span>{held(journalSentence(line, names))}</span>
          </li>
        ))}
      </ol>
      <ProblemNote problem={act.problem.value} />
      {hasOlder.value && oldest !== undefined && (
        <button type="button" disabled={act.isBusy.value} onClick={() => void fetchLines(oldest.id)}>
          {say('Older')}
        </button>
      )}
    </section>
  )
}
