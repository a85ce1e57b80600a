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
import { Skeleton } from '../parts/skeleton.tsx'
import { useAnswer } from '../parts/use-answer.ts'
import { Paper } from './paper.tsx'
import { say } from '../../shared/words/say.ts'

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
    <Screen title={say('Winter of {name}', { name })} heading={say('Winter of {name}', { name })}>
      <p>
        <Link to={pathOfAnimal(id)}>{say('Back to {name}', { name })}</Link>
      </p>
      <div class="report-acts">
        {known !== null && known.seasons.length > 1 && (
          <ChoiceField
            label={say('Season')}
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
          {say('Print')}
        </button>
        <a
          class="button"
          href={page}
          download={`${id}-winter-${(known?.season ?? '').replace('/', '-')}.html`}
        >
          {say('Save as a file')}
        </a>
      </div>
      <ProblemNote problem={report.problem.value} onAgain={known === null ? report.again : null} />
      {known === null && report.problem.value === null && <Skeleton shape="lines" />}
      {known !== null && (
        <Paper
          frame={paper}
          title={say('Winter {season} of {name}, on paper', { season: known.season, name })}
          src={page}
        />
      )}
    </Screen>
  )
}
