import type { SeasonRow } from '../../schemas/season.ts'
import type { Animal, PlanStep } from '../../schemas/animal.ts'
import { conflictsOf, proposePlan } from '../../shared/animals/plan.ts'
import { marksOf } from '../../shared/animals/plan-marks.ts'
import { placeConflicts } from '../../shared/animals/plan-place.ts'
import { wakeOrder } from '../../shared/animals/waking.ts'
import { phaseAt } from '../../shared/judging/phase-at.ts'
import { seasonDates, seasonOf } from '../../shared/time/season.ts'
import { addDays, localDate, wallInstant } from '../../shared/time/wall.ts'
import type { SeasonDesk } from '../ports/season.ts'
import { animalIn, subjectOf } from './animal-subject.ts'
import { surroundingsOf } from './plan-around.ts'
import type { SeasonWorld } from './season-world.ts'
import { openWinterActs } from './winter-acts.ts'
import { isDrafted, type Judges } from './standing.ts'
import { say } from '../../shared/words/say.ts'

type Part = Pick<
  SeasonDesk,
  'season' | 'standing' | 'propose' | 'saveDraft' | 'beginCooling' | 'beginWarming'
>

/** The winter of each animal: judged, planned and acted on. `cultures`: the season's live food. */
export function openSeason(
  world: SeasonWorld,
  { judges, cultures }: { readonly judges: Judges; readonly cultures: SeasonDesk['cultures'] },
): Part {
  const { house, clock } = world
  const household = () => house.state().layout.household

  /** What speaks against steps, by the animal and by its place. */
  const conflictsNow = (animal: Animal, steps: readonly PlanStep[]) => {
    const subject = subjectOf(world, animal)
    if (subject === null) return []
    const around = surroundingsOf(house.state(), animal, subject.now)
    return [...conflictsOf(subject, [...steps]), ...placeConflicts(subject, steps, around)]
  }

  function rowOf(animal: Animal): SeasonRow | null {
    const subject = subjectOf(world, animal)
    if (subject === null) return null
    const { now } = subject
    const steps = animal.draft.length > 0 ? animal.draft : animal.plan
    return {
      animal: animal.id,
      species: animal.species,
      place: animal.place,
      phase: phaseAt(animal, now).phase,
      plan: animal.plan,
      draft: animal.draft,
      marks: marksOf(subject, steps),
      conflicts: animal.draft.length > 0 ? conflictsNow(animal, animal.draft) : [],
      gate: isDrafted(animal) ? judges.gateOf(subject) : null,
      wake: judges.wakeOf(subject),
    }
  }

  return {
    season() {
      const now = clock.now()
      const { animals, hemisphere, timeZone } = household()
      const season = seasonOf(localDate(now, timeZone), hemisphere)
      const dates = seasonDates(season)
      if (dates === null) throw new Error(`${season} is no season.`)
      const rows = animals.flatMap((animal) => rowOf(animal) ?? [])
      return {
        season,
        from: wallInstant(dates.first, '00:00', timeZone),
        to: wallInstant(addDays(dates.last, 1), '00:00', timeZone),
        at: now,
        rows,
        wakeFirst: wakeOrder(rows.filter(({ wake }) => wake.standing !== 'no')).map(({ animal }) => animal),
        cultures: [...cultures()],
      }
    },

    standing(id) {
      const animal = animalIn(world, id)
      const subject = animal === undefined ? null : subjectOf(world, animal)
      if (subject === null) return noSuchAnimal
      return { ok: true, value: judges.standingOf(subject) }
    },

    propose(id, wish) {
      const animal = animalIn(world, id)
      const subject = animal === undefined ? null : subjectOf(world, animal)
      if (subject === null) return noSuchAnimal
      const { profile, now } = subject
      if (profile.season === undefined || profile.hold === undefined || profile.winter === 'never')
        return {
          ok: false,
          error: 'mustNotGoDown',
          sentence: say('{common} ({latin}) must not go down for winter.', {
            common: profile.common,
            latin: profile.latin,
          }),
        }
      const proposal = proposePlan(subject, wish)
      const around = surroundingsOf(house.state(), subject.animal, now)
      const conflicts = [...proposal.conflicts, ...placeConflicts(subject, proposal.steps, around)]
      return { ok: true, value: { ...proposal, conflicts } }
    },

    ...openWinterActs(world, { judges, conflictsNow }),
  }
}

const noSuchAnimal = { ok: false, error: 'noSuchAnimal', sentence: say('There is no such animal.') } as const
