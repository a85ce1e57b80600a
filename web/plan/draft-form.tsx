import { useSignal } from '@preact/signals'
import { useRef } from 'preact/hooks'
import { instant } from '../../schemas/amounts.ts'
import type { Animal, PlanWish } from '../../schemas/animal.ts'
import type { Household } from '../../schemas/household.ts'
import { localDate } from '../../shared/time/wall.ts'
import { pathTo, query } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { TextField } from '../parts/field.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { Conflicts } from './conflicts.tsx'
import { firstWish } from './first-wish.ts'
import { FigureList } from './figure-list.tsx'
import { holdDates, movedWish } from './moved-wish.ts'
import { offerUndo } from './offer-undo.ts'
import { PlanMover } from './plan-mover.tsx'
import { StepList } from './step-list.tsx'
import { isInside, type TimeScale, timeScale } from './time-scale.ts'
import { useProposal } from './use-proposal.ts'
import { WishFields } from './wish-fields.tsx'
import { say } from '../../shared/words/say.ts'

/** Reckons a winter from a wish, lets it be moved about, and keeps it as the draft. */
export function DraftForm({
  animal,
  household,
  onDone,
}: {
  animal: Animal
  household: Household
  onDone: () => void
}) {
  const page = usePage()
  const act = useAct()
  const zone = household.timeZone
  const now = page.now.peek()
  const today = localDate(instant(now), zone)
  const isOpen = useSignal(animal.draft.length === 0 && animal.plan.length === 0)
  const wish = useSignal<PlanWish>(
    animal.wish ?? wishOf(animal.draft, zone) ?? firstWish(today, household.hemisphere),
  )
  const anyway = useSignal('')
  const { proposal, problem } = useProposal(animal.id, wish, isOpen)
  const shown = proposal.value
  // The stretch stays while a handle is moved about, unless the plan leaves it
  const stretch = useRef<TimeScale | null>(null)
  if (shown !== null && (stretch.current === null || !isInside(stretch.current, shown.steps)))
    stretch.current = timeScale([{ plan: [], draft: shown.steps }], { from: 0, to: Infinity }, now, zone)
  const scale = stretch.current
  if (!isOpen.value)
    return (
      <p class="form-acts">
        <button type="button" onClick={() => (isOpen.value = true)}>
          {animal.draft.length > 0 ? say('Change the draft…') : say('Plan the next winter…')}
        </button>
      </p>
    )
  const isRefused = shown?.conflicts.some(({ weight }) => weight === 'refused') === true
  const keep = (steps: Animal['draft'], kept: PlanWish | null, said: string): void => {
    const reason = anyway.value.trim()
    void act.run(
      () =>
        page.ask<Animal>(
          'PUT',
          pathTo('animals', animal.id, 'draft') + query({ anyway: reason === '' ? null : reason }),
          { steps, wish: kept },
        ),
      () => {
        offerUndo(page, animal, said, onDone)
        void page.refresh()
        onDone()
      },
    )
  }
  return (
    <form
      class="draft-form"
      aria-labelledby="draft-head"
      onSubmit={(event) => {
        event.preventDefault()
        if (shown !== null)
          keep(
            shown.steps,
            wish.value,
            say('The winter of {animal} is kept as a draft.', { animal: animal.name }),
          )
      }}
    >
      <h3 id="draft-head">{animal.draft.length > 0 ? say('Change the draft') : say('Plan a winter')}</h3>
      <WishFields wish={wish} problem={problem.value} />
      <ProblemNote problem={problem.value} fields={['on', 'by', 'weeks']} />
      {shown !== null && scale !== null && (
        <>
          <PlanMover
            name={animal.name}
            steps={shown.steps}
            wish={isSame(shown.wish, wish.value) ? null : wish.value}
            scale={scale}
            now={now}
            zone={zone}
            onWish={(next) => (wish.value = next)}
          />
          <StepList steps={shown.steps} marks={shown.marks} zone={zone} />
          <Conflicts conflicts={shown.conflicts} />
          <FigureList figures={shown.figures} />
        </>
      )}
      {isRefused && (
        <TextField
          label={say('Why it is planned so all the same')}
          field="anyway"
          hint={say('Stands in the journal. Without a reason this plan is not kept.')}
          maxLength={300}
          required
          problem={act.problem.value}
          value={anyway.value}
          onValue={(value) => (anyway.value = value)}
        />
      )}
      <ProblemNote problem={act.problem.value} fields={['anyway']} />
      <div class="form-acts">
        <button type="submit" class="strong" disabled={act.isBusy.value || shown === null}>
          {say('Keep as draft')}
        </button>
        {animal.draft.length > 0 && (
          <button
            type="button"
            class="quiet"
            disabled={act.isBusy.value}
            onClick={() => keep([], null, say('The draft of {animal} is dropped.', { animal: animal.name }))}
          >
            {say('Drop the draft')}
          </button>
        )}
      </div>
    </form>
  )
}

/** The wish that a draft without one would have come from. */
function wishOf(draft: Animal['draft'], zone: string): PlanWish | null {
  const dates = holdDates(draft, zone)
  return dates === null ? null : movedWish(dates, 'all', 0)
}

/** The plan shown is the answer to this very wish. */
const isSame = (one: PlanWish, other: PlanWish): boolean =>
  one.by === other.by && one.on === other.on && one.weeks === other.weeks
