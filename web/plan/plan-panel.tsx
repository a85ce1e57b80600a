import type { Animal } from '../../schemas/animal.ts'
import type { Household } from '../../schemas/household.ts'
import type { SeasonRow } from '../../schemas/season.ts'
import { phaseWord } from '../../shared/telling/words.ts'
import { pathOfAnimal } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { BeginCooling } from './begin-cooling.tsx'
import { BeginWarming } from './begin-warming.tsx'
import { Conflicts } from './conflicts.tsx'
import { DraftForm } from './draft-form.tsx'
import { StepList } from './step-list.tsx'
import { say } from '../../shared/words/say.ts'

/** One animal's winter: what is in force, what is being prepared, and the acts that begin and end it. */
export function PlanPanel({
  row,
  animal,
  household,
  onDone,
}: {
  row: SeasonRow
  animal: Animal
  household: Household
  onDone: () => void
}) {
  const { person } = usePage()
  const isKeeper = person.value?.role === 'keeper'
  const isCold = row.phase === 'coolDown' || row.phase === 'hold'
  return (
    <section class="plan-panel" aria-labelledby="plan-of">
      <h2 id="plan-of">
        <Link to={pathOfAnimal(animal.id)}>{animal.name}</Link>{' '}
        <span class="soft">{phaseWord[row.phase]}</span>
      </h2>
      {row.plan.length > 0 && (
        <div class="says">
          <h3>{say('In force')}</h3>
          <StepList
            steps={row.plan}
            marks={row.draft.length === 0 ? row.marks : []}
            zone={household.timeZone}
          />
          <Conflicts conflicts={row.draft.length === 0 ? row.conflicts : []} />
          {isKeeper && isCold && <BeginWarming animal={animal} onDone={onDone} />}
        </div>
      )}
      {row.draft.length > 0 && (
        <div class="says">
          <h3>{say('In preparation')}</h3>
          <StepList steps={row.draft} marks={row.marks} zone={household.timeZone} />
          <Conflicts conflicts={row.conflicts} />
          {row.gate !== null && (
            <BeginCooling animal={animal} gate={row.gate} isKeeper={isKeeper} onDone={onDone} />
          )}
        </div>
      )}
      {isKeeper && !isCold && <DraftForm animal={animal} household={household} onDone={onDone} />}
      {row.plan.length === 0 && row.draft.length === 0 && !isKeeper && (
        <p class="soft">{say('No winter is planned for {animal}.', { animal: animal.name })}</p>
      )}
    </section>
  )
}
