import type { Limit } from '../../schemas/band.ts'
import { hours, minutes } from '../../schemas/amounts.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { PlaceKind } from '../../schemas/place.ts'
import type { Instant } from '../../schemas/units.ts'
import { boundOf } from '../sensing/bound.ts'
import { isRaised, startInside, stepLimit } from './limit.ts'
import { type AlarmSubject, type Draft, turnAlarm } from './raising.ts'
import { isWorking } from './silence.ts'
import { valueWords } from '../telling/words.ts'
import { say } from '../words/say.ts'

/**
 * How far apart two right thermometers may truly be, in kelvin, besides their own errors. Derived: in a box the air is
 * nearly still and mixed; between the shelves of a fridge, or the ends of a frame or room, some kelvin are ordinary.
 * In a warm enclosure a gradient is meant: there nothing is compared.
 */
const apartBy: Record<PlaceKind, number | null> = {
  box: 1,
  fridge: 4,
  coldRoom: 4,
  frame: 4,
  room: 4,
  culture: 4,
  enclosure: null,
}
/** A door and a defrosting move one thermometer before the other; after an hour they have met again. Derived. */
const apartFor = hours(1)
/** They must come back by so much, in kelvin, before it is over. */
const deadband = 0.3

/** Compares the thermometers that share this one's spot, once it has said something believable (N1). */
export function judgeAgreement(draft: Draft, s: number, at: Instant): void {
  const { layout } = draft.state
  const p = layout.placeOfSensor[s] ?? -1
  const [here, place, spot] = [layout.places[p], draft.state.places[p], layout.sensors[s]?.spot]
  if (here === undefined || place === undefined || spot === undefined) return
  const allowed = apartBy[here.place.kind]
  const mates = here.sensors.filter(
    (other) => layout.sensors[other]?.spot === spot && isWorking(draft.state, other),
  )
  if (mates.length < 2 || allowed === null) return
  const said = mates.flatMap((other) => {
    const value = draft.state.sensors[other]?.series.temperature?.good?.value
    const sensor = layout.sensors[other]
    return value === undefined || sensor === undefined ? [] : [{ value, error: boundOf(sensor) }]
  })
  said.sort((one, other) => one.value - other.value)
  const [coldest, warmest] = [said[0], said.at(-1)]
  if (coldest === undefined || warmest === undefined) return
  const limit = apartLimit(allowed + coldest.error + warmest.error)
  const before = place.apart?.[spot] ?? startInside
  const [after, transitions] = stepLimit(before, limit, {
    kind: 'reading',
    at,
    value: warmest.value - coldest.value,
  })
  if (after === before) return
  const apart = { ...place.apart, [spot]: after }
  draft.state = { ...draft.state, places: draft.state.places.with(p, { ...place, apart }) }
  for (const { event, at: when } of transitions) {
    if (event === 'returned' && Object.values(apart).some(isRaised)) continue
    turnAlarm(
      draft,
      apartIn(place.id),
      event === 'raised'
        ? {
            kind: 'wentOut',
            at: when,
            value: null,
            threshold: null,
            priority: 'medium',
            text: say('One shows {shown} and another {shown2}.', {
              shown: shown(coldest.value),
              shown2: shown(warmest.value),
            }),
          }
        : { kind: 'cameBack', at: when, value: null },
    )
  }
}

/** Forgets comparisons of spots that no longer have two thermometers. */
export function forgetSingles(draft: Draft, p: number, at: Instant): void {
  const { layout } = draft.state
  const [here, place] = [layout.places[p], draft.state.places[p]]
  if (here === undefined || place?.apart === undefined) return
  const kept = Object.entries(place.apart).filter(
    ([spot]) => here.sensors.filter((s) => layout.sensors[s]?.spot === spot).length > 1,
  )
  const apart = Object.fromEntries(kept)
  draft.state = { ...draft.state, places: draft.state.places.with(p, { ...place, apart }) }
  if (!kept.some(([, state]) => isRaised(state)))
    turnAlarm(draft, apartIn(place.id), {
      kind: 'cameBack',
      at,
      value: null,
      text: say('There are no two thermometers to compare any more.'),
    })
}

const apartIn = (place: PlaceId): AlarmSubject => ({
  kind: 'disagreeing',
  place,
  sensor: null,
  quantity: null,
  limit: null,
  priority: 'medium',
})

const shown = (celsius: number): string => valueWords('temperature', celsius)

const apartLimit = (value: number): Limit => ({
  id: 'apart',
  quantity: 'temperature',
  compare: 'above',
  value,
  deadband,
  for: apartFor,
  clearFor: minutes(10),
  counting: 'continuous',
  priority: 'medium',
})
