import { useSignal } from '@preact/signals'
import { useRef } from 'preact/hooks'
import type { AnimalReport } from '../../schemas/animal-report.ts'
import { pathTo, query } from '../page/ask.ts'
import { pathOfAnimal } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField } from '../parts/field.tsx'
import { Link } from '../parts/link.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Screen } from '../parts/screen.tsx'
import { useAnswer } from '../parts/use-answer.ts'
import { Paper } from './paper.tsx'

/** An animal's winter as it goes on paper, by season. */
export function ReportScreen({ id }: { id: string }) {
  const { household } = usePage()
  const season = useSignal<string | null>(null)
  const paper = useRef<HTMLIFrameElement>(null)
  const report = useAnswer<AnimalReport>(pathTo('animals', id, 'report') + query({ season: season.value }))
  const known = report.value.value
  const name = household.value?.animals.find((animal) => animal.id === id)?.name ?? known?.animal.name ?? id
  const page = pathTo('animals', id, 'report.html') + query({ season: season.value })
  return (
    <Screen title={`Winter of ${name}`} heading={`Winter of ${name}`}>
      <p>
        <Link to={pathOfAnimal(id)}>Back to {name}</Link>
      </p>
      <div class="report-acts">
        {known !== null && known.seasons.length > 1 && (
          <ChoiceField
            label="Season"
            field="season"
            value={known.season}
            onValue={(value) => (season.value = value)}
            choices={known.seasons.map((one) => ({ value: one, label: one }))}
          />
        )}
        <button
          type="button"
          class="strong"
          disabled={known === null}
          onClick={() => paper.current?.contentWindow?.print()}
        >
          Print
        </button>
        <a
          class="button"
          href={page}
          download={`${id}-winter-${(known?.season ?? '').replace('/', '-')}.html`}
        >
          Save as a file
        </a>
      </div>
      <ProblemNote problem={report.problem.value} />
      {known !== null && (
        <Paper frame={paper} title={`Winter ${known.season} of ${name}, on paper`} src={page} />
      )}
    </Screen>
  )
}
