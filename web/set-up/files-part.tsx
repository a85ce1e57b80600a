import { useSignal } from '@preact/signals'
import type { Household } from '../../schemas/household.ts'
import { localDate } from '../../shared/time/wall.ts'
import { instant } from '../../schemas/amounts.ts'
import { pathTo, query } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField } from '../parts/field.tsx'
import { PastWinter } from '../past-winter/past-winter.tsx'
import { ImportTable } from './import-table.tsx'
import { say } from '../../shared/words/say.ts'

/** What goes out as files, and a keeper's own table coming in. */
export function FilesPart({ household }: { household: Household }) {
  const { now } = usePage()
  const place = useSignal<string>(household.places[0]?.id ?? '')
  const today = localDate(instant(now.peek()), household.timeZone)
  const journal = query({ from: now.peek() - yearMs, to: now.peek() })
  return (
    <section class="part" aria-labelledby="part-files">
      <h2 id="part-files">{say('Files')}</h2>
      <p class="soft">{say('Tables for a spreadsheet (CSV), and pages to print.')}</p>
      <ul class="files">
        <li>
          <a href="/api/diary.csv" download={`brumal-diary-${today}.csv`}>
            {say('Everything noted of animals and places')}
          </a>
        </li>
        <li>
          <a href={`/api/journal.csv${journal}`} download={`brumal-journal-${today}.csv`}>
            {say('The journal of the last year')}
          </a>
        </li>
        <li>
          <a href="/api/season/report.html" download={`brumal-winter-${today}.html`}>
            {say('This winter of every animal, as a page')}
          </a>
        </li>
      </ul>
      {household.places.length > 0 && (
        <div class="field-pair">
          <ChoiceField
            label={say('Nights of')}
            field="place"
            value={place.value}
            onValue={(value) => (place.value = value)}
            choices={household.places.map((one) => ({ value: one.id, label: one.name }))}
          />
          <p class="files-nights">
            <a
              class="button"
              href={pathTo('places', place.value, 'nights.csv')}
              download={`brumal-nights-${place.value}-${today}.csv`}
            >
              {say('Save its nights')}
            </a>
          </p>
        </div>
      )}
      <ImportTable />
      <PastWinter household={household} />
    </section>
  )
}

const yearMs = 366 * 86_400_000
