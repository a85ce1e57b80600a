import { useSignal } from '@preact/signals'
import { useId, useRef } from 'preact/hooks'
import type { ImportedDiary } from '../../schemas/diary.ts'
import { noteWords } from '../../shared/diary/note-words.ts'
import { query } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { say } from '../../shared/words/say.ts'

/** Entries shown before they are taken in. */
const shownAtMost = 8
const faultsAtMost = 12

/** A keeper's own table: looked through first, taken in whole or not at all, and taken back by Undo. */
export function ImportTable() {
  const page = usePage()
  const act = useAct()
  const id = useId()
  const input = useRef<HTMLInputElement>(null)
  const csv = useSignal<string | null>(null)
  const found = useSignal<ImportedDiary | null>(null)
  const send = (text: string, isTrial: boolean, onDone: (value: ImportedDiary) => void): void =>
    void act.run(
      () =>
        page.ask<ImportedDiary>('POST', `/api/diary/import${query({ trial: isTrial ? true : null })}`, {
          csv: text,
        }),
      onDone,
    )
  const forget = (): void => {
    csv.value = null
    found.value = null
    if (input.current !== null) input.current.value = ''
  }
  const look = async (file: File | undefined): Promise<void> => {
    csv.value = null
    found.value = null
    if (file === undefined) return
    const text = await file.text()
    csv.value = text
    send(text, true, (value) => (found.value = value))
  }
  const takeIn = (): void => {
    if (csv.value === null) return
    send(csv.value, false, (kept) => {
      const entries = kept.entries.map((entry) => entry.id)
      page.undo.value = {
        sentence: say('Took in {count}.', { count: countWords(entries.length) }),
        undo: async () => {
          const gone = await page.ask('POST', '/api/diary/removals', { entries })
          if (!gone.ok) page.undo.value = { sentence: say('The table could not be taken back.'), undo: null }
        },
      }
      forget()
    })
  }
  const answer = found.value
  const isGood = answer !== null && answer.faults.length === 0 && answer.entries.length > 0
  return (
    <div class="import-table">
      <h3>{say('Take in a table')}</h3>
      <div class="field">
        <label htmlFor={id}>{say('A CSV file')}</label>
        <input
          ref={input}
          id={id}
          type="file"
          accept=".csv,text/csv,text/plain"
          aria-describedby={`${id}-hint`}
          onChange={(event) => void look(event.currentTarget.files?.[0])}
        />
        <p class="hint" id={`${id}-hint`}>
          {say(
            'One line an entry: a column with the date, one with the animal, and others such as “weight (g)”, “length (cm)” or “note”. Nothing is taken in before you have seen it.',
          )}
        </p>
      </div>
      <ProblemNote problem={act.problem.value} />
      {answer !== null && (
        <div role="status">
          {answer.faults.length > 0 ? (
            <>
              <p>
                <strong>
                  {say('{part} not understood; nothing is taken in until they are right.', {
                    part:
                      answer.faults.length === 1
                        ? say('One line is')
                        : say('{faults} lines are', { faults: answer.faults.length }),
                  })}
                </strong>
              </p>
              <ul>
                {answer.faults.slice(0, faultsAtMost).map(({ line, sentence }) => (
                  <li key={line}>{say('Line {line}: {sentence}', { line, sentence })}</li>
                ))}
                {answer.faults.length > faultsAtMost && (
                  <li>{say('… and {part} more.', { part: answer.faults.length - faultsAtMost })}</li>
                )}
              </ul>
            </>
          ) : (
            <p>
              {answer.entries.length === 0
                ? say('Nothing new is in it')
                : say('{count} found', { count: countWords(answer.entries.length) })}
              {answer.known > 0
                ? say('; {count} stand already and are left as they are.', {
                    count: countWords(answer.known),
                  })
                : '.'}
            </p>
          )}
          {isGood && (
            <ul>
              {answer.entries.slice(0, shownAtMost).map((entry) => (
                <li key={entry.id}>
                  {page.tell.dayAt(entry.at, page.now.peek(), zoneOfHouse(page.household.value))} ·{' '}
                  {nameOf(page.household.value, entry.animal ?? entry.place ?? '')} · {noteWords(entry.note)}
                </li>
              ))}
              {answer.entries.length > shownAtMost && (
                <li>{say('… and {part} more.', { part: answer.entries.length - shownAtMost })}</li>
              )}
            </ul>
          )}
        </div>
      )}
      {answer !== null && (
        <div class="form-acts">
          <button type="button" class="strong" disabled={!isGood || act.isBusy.value} onClick={takeIn}>
            {say('Take it in')}
          </button>
          <button type="button" class="quiet" onClick={forget}>
            {say('Leave it')}
          </button>
        </div>
      )}
    </div>
  )
}

const countWords = (n: number): string => (n === 1 ? say('one entry') : say('{n} entries', { n }))

type Home = {
  readonly timeZone: string
  readonly animals: readonly Named[]
  readonly places: readonly Named[]
} | null
interface Named {
  readonly id: string
  readonly name: string
}

const zoneOfHouse = (home: Home): string => home?.timeZone ?? 'UTC'
const nameOf = (home: Home, id: string): string =>
  [...(home?.animals ?? []), ...(home?.places ?? [])].find((one) => one.id === id)?.name ?? id
