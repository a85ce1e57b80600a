import { hours } from '../../schemas/amounts.ts'
import type { Animal } from '../../schemas/animal.ts'
import type { AnimalStanding } from '../../schemas/season.ts'
import type { Instant } from '../../schemas/units.ts'
import { yearsOf } from '../../shared/animals/age.ts'
import { coldOf } from '../../shared/animals/cold.ts'
import { conditionOf, entryDoubt } from '../../shared/animals/condition.ts'
import { type GateFacts, gateOf } from '../../shared/animals/gate.ts'
import { type BoxAir, massOf } from '../../shared/animals/mass.ts'
import { remindersOf } from '../../shared/animals/reminders.ts'
import { linesOf, type Subject } from '../../shared/animals/subject.ts'
import { wakeOf, wakingStepsOf } from '../../shared/animals/waking.ts'
import { phaseAt } from '../../shared/judging/phase-at.ts'
import { addDays, localDate } from '../../shared/time/wall.ts'
import { boxAirs } from './box-air.ts'
import { cooledPlace } from './cooled-place.ts'
import { placeHarmOf } from './place-harm.ts'
import { visitsOf } from './place-visits.ts'
import { watchOf } from './plan-around.ts'
import type { SeasonWorld } from './season-world.ts'

/** What is coming is told so far ahead. */
const aheadDays = 14
/** The means of months change little in an hour, and reading them takes some milliseconds for each animal. */
const airHolds = hours(1)
/** Boxes whose air is remembered (X3): twice the most places. */
const mostAirs = 1000

/** Everything that is judged of one animal. */
export interface Judges {
  standingOf(subject: Subject): AnimalStanding
  /** Without what a page of one animal alone shows: for rows of many. */
  wakeOf(subject: Subject): AnimalStanding['wake']
  gateOf(subject: Subject): NonNullable<AnimalStanding['gate']>
}

export function makeJudges({ house, store, diary, hasRung }: SeasonWorld): Judges {
  const airs = boxAirs({ house, store })
  const remembered = new Map<string, { readonly at: Instant; readonly air: BoxAir | null }>()

  function airOf({ animal, now }: Subject, from: Instant): BoxAir | null {
    if (animal.place === null || from >= now) return null
    const key = `${animal.place} ${from}`
    const known = remembered.get(key)
    if (known !== undefined && now - known.at >= 0 && now - known.at < airHolds) return known.air
    const air = airs.air(animal.place, from, now)
    const [oldest] = remembered.keys()
    if (remembered.size >= mostAirs && oldest !== undefined) remembered.delete(oldest)
    remembered.set(key, { at: now, air })
    return air
  }

  const massNow = (subject: Subject) => {
    const cold = coldOf(subject)
    return cold === null ? null : massOf(subject, airOf(subject, cold.downAt))
  }

  function wakeNow(subject: Subject, mass: AnimalStanding['mass']): AnimalStanding['wake'] {
    const cold = coldOf(subject)
    const harm =
      cold === null
        ? { tooColdAt: null, tooWarmSince: null }
        : placeHarmOf({ house, store }, subject, cold.downAt)
    return wakeOf(subject, mass, harm)
  }

  /** In a fridge nothing tells how warm it was while it still lived outside of it. */
  function fastCelsius({ animal, history, now }: Subject): number | null {
    const { layout } = house.state()
    const p = animal.place === null ? undefined : layout.placeIndex.get(animal.place)
    if (animal.place === null || p === undefined || cooledPlace(layout, p) !== null) return null
    const fed = linesOf(history, 'fed').findLast(({ at, note }) => at <= now && note.eaten !== 'none')
    return fed === undefined ? null : airs.warmth(animal.place, fed.at, now)
  }

  const factsOf = (subject: Subject, condition: AnimalStanding['condition']): GateFacts => ({
    condition,
    place: watchOf(house.state(), subject.animal, subject.now),
    hasRung: hasRung(),
    fastCelsius: fastCelsius(subject),
  })

  const gateNow = (subject: Subject, condition = conditionOf(subject)) =>
    gateOf(subject, factsOf(subject, condition))

  return {
    wakeOf: (subject) => wakeNow(subject, massNow(subject)),
    gateOf: (subject) => gateNow(subject),
    standingOf(subject) {
      const { animal, now, timeZone } = subject
      const condition = conditionOf(subject)
      const mass = massNow(subject)
      const wake = wakeNow(subject, mass)
      const waking = [...wakingStepsOf(subject)]
      const gate = isDrafted(animal) ? gateNow(subject, condition) : null
      const visits = visitsOf({ store, diary }, house.state().layout.household.places)(animal)
      const until = addDays(localDate(now, timeZone), aheadDays)
      const facts = { gate, wake, waking, until, mass: mass?.standing ?? null, ...visits }
      return {
        animal: animal.id,
        phase: phaseAt(animal, now).phase,
        years: yearsOf(animal, now, timeZone),
        condition,
        mass,
        gate,
        wake,
        waking,
        reminders: [...remindersOf(subject, facts)],
        doubt: entryDoubt(subject),
      }
    },
  }
}

export const isDrafted = ({ draft }: Animal): boolean =>
  draft.some(({ phase }) => phase === 'coolDown' || phase === 'hold')
