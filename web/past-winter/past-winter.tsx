import { useSignal } from '@preact/signals'
import { useEffect, useId, useRef } from 'preact/hooks'
import type { Household } from '../../schemas/household.ts'
import type { DayOrder, ImportLine, TableLook } from '../../schemas/import.ts'
import { say } from '../../shared/words/say.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField } from '../parts/field.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { useAnswer } from '../parts/use-answer.ts'
import { ZoneField } from '../parts/zone-field.tsx'
import { firstSaid, importChoiceOf, isZone, lookChoiceOf, type Said, withWhose } from './column-roles.ts'
import { ImportList } from './import-list.tsx'
import { LookSays } from './look-says.tsx'
import { askSlow, sendTable } from './send-table.ts'
import { TablePreview } from './table-preview.tsx'
import { WhoseFields } from './whose-fields.tsx'

/** How often a table that is being taken in is looked for, in ms. */
const lookEvery = 700

/** A past winter out of any logger's table: sent once, seen before anything is kept, taken back by Undo. */
export function PastWinter({ household }: { household: Household }) {
  const page = usePage()
  const id = useId()
  const act = useAct()
  const input = useRef<HTMLInputElement>(null)
  const look = useSignal<TableLook | null>(null)
  const said = useSignal<Said | null>(null)
  const done = useSignal('')
  const list = useAnswer<ImportLine[]>('/api/imports')
  const lines = list.value.value ?? []
  const isRunning = lines.some(({ state }) => state === 'running')
  useEffect(() => {
    if (!isRunning) return undefined
    const timer = setInterval(list.again, lookEvery)
    return () => clearInterval(timer)
  }, [isRunning])

  const forget = (): void => {
    look.value = null
    said.value = null
    if (input.current !== null) input.current.value = ''
  }
  const send = (file: File | undefined): void => {
    look.value = null
    done.value = ''
    if (file === undefined) return
    void act.run(
      () => sendTable(file),
      (found) => {
        said.value = firstSaid(found, household)
        look.value = found
      },
    )
  }
  /** What a person says may change what is understood: it is looked through again, and the newest saying counts. */
  const change = (next: Said, mustLook = true): void => {
    said.value = next
    const choice = lookChoiceOf(next)
    const table = look.value
    if (!mustLook || choice === null || table === null) return
    void act.run(
      () => askSlow<TableLook>('POST', pathTo('imports', table.id, 'look'), choice),
      (found) => {
        look.value = found
        if (said.value !== null && said.value !== next) change(said.value)
      },
    )
  }
  const begin = (): void => {
    const [table, words] = [look.value, said.value]
    if (table === null || words === null) return
    const choice = importChoiceOf(words, table)
    if (typeof choice === 'string') return
    void act.run(
      () => askSlow<ImportLine>('POST', pathTo('imports', table.id), choice),
      (line) => {
        done.value = say('Taking in {file}. Watching goes on meanwhile.', { file: line.file })
        forget()
        list.again()
        void page.refresh()
      },
    )
  }

  const [table, words] = [look.value, said.value]
  const missing = table === null || words === null ? '' : importChoiceOf(words, table)
  return (
    <div class="import-table past-winter">
      <h3>{say('A past winter')}</h3>
      <div class="field">
        <label htmlFor={id}>{say('A table from any logger (CSV)')}</label>
        <input
          ref={input}
          id={id}
          type="file"
          accept=".csv,.txt,.tsv,text/csv,text/plain"
          aria-describedby={`${id}-hint`}
          onChange={(event) => send(event.currentTarget.files?.[0])}
        />
        <p class="hint" id={`${id}-hint`}>
          {say(
            'As the logger or a spreadsheet wrote it: one row for each time. You see it before anything is kept, and can take it back. It raises no alarm.',
          )}
        </p>
      </div>
      {act.isBusy.value && <p role="status">{say('Looking it through …')}</p>}
      <ProblemNote problem={act.problem.value} />
      {table !== null && words !== null && (
        <>
          <TablePreview
            look={table}
            said={words}
            onRole={(index, role) => change({ ...words, roles: words.roles.with(index, role) })}
          />
          {table.isLocal && (
            <ZoneField
              label={say('Time zone of the logger’s clock')}
              hint={say(
                'A clock that stays on winter time all year has a zone of its own, such as Etc/GMT-1.',
              )}
              problem={null}
              required
              value={words.zone}
              onValue={(zone) => change({ ...words, zone }, isZone(zone))}
            />
          )}
          {table.dayOrder === 'ambiguous' && (
            <ChoiceField
              label={say('Its dates begin with')}
              field="dayOrder"
              hint={say('03/04 may be the third of April or the fourth of March: the table does not say.')}
              value={words.dayOrder}
              onValue={(dayOrder) => change({ ...words, dayOrder: dayOrder as DayOrder })}
              choices={[
                ...(words.dayOrder === '' ? [{ value: '', label: say('Choose'), disabled: true }] : []),
                { value: 'dayFirst', label: say('the day') },
                { value: 'monthFirst', label: say('the month') },
              ]}
            />
          )}
          <WhoseFields
            look={table}
            said={words}
            household={household}
            onUnit={(index, unit) => change({ ...words, units: words.units.with(index, unit) })}
            onWhose={(index, whose) => change(withWhose(words, index, whose), false)}
          />
          {(table.dayOrder !== 'ambiguous' || words.dayOrder !== '') && <LookSays look={table} />}
          {typeof missing === 'string' && <p class="hint">{missing}</p>}
          <div class="form-acts">
            <button
              type="button"
              class="strong"
              disabled={typeof missing === 'string' || act.isBusy.value || table.counts.readings === 0}
              onClick={begin}
            >
              {say('Take it in')}
            </button>
            <button
              type="button"
              class="quiet"
              onClick={() => {
                void askSlow('DELETE', pathTo('imports', table.id))
                forget()
              }}
            >
              {say('Leave it')}
            </button>
          </div>
        </>
      )}
      <p role="status">{done.value}</p>
      <ImportList
        lines={lines}
        zone={household.timeZone}
        onUndone={(sentence) => {
          done.value = sentence
          list.again()
          void page.refresh()
        }}
      />
    </div>
  )
}
