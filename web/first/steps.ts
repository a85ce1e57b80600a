import type { Household } from '../../schemas/household.ts'
import type { TellingNow } from '../../schemas/telling-now.ts'

export type StepName = 'password' | 'zone' | 'sensor' | 'box' | 'contact' | 'ring'

export interface Step {
  readonly name: StepName
  readonly isDone: boolean
}

/** What a box lacks before it is guarded, in the order in which it is given. */
export type Lack = 'place' | 'animal' | 'sensor'

/** From nothing to a guarded box with a phone that rings. Whoever sees them has a password already. */
export function firstSteps(
  household: Household,
  contacts: TellingNow['contacts'],
  isZoneRight: boolean,
): readonly Step[] {
  const channels = contacts.flatMap((one) => one.channels)
  const isGuarded = boxLack(household) === null
  return [
    { name: 'password', isDone: true },
    // Once a box is guarded its nights have been seen by the house's own clock.
    { name: 'zone', isDone: isZoneRight || isGuarded },
    { name: 'sensor', isDone: household.sensors.length > 0 },
    { name: 'box', isDone: isGuarded },
    { name: 'contact', isDone: channels.length > 0 },
    { name: 'ring', isDone: channels.some((one) => one.rungAt !== null) },
  ]
}

/** What is missing until somebody lives in a place that is measured, there or in what holds it (L10); null when nothing is. */
export function boxLack({ places, animals, sensors }: Household): Lack | null {
  if (places.length === 0) return 'place'
  const lived = animals.flatMap(({ place }) => (place === null ? [] : [place]))
  if (lived.length === 0) return 'animal'
  const measured = new Set(sensors.map(({ place }) => place))
  const parentOf = new Map(places.map(({ id, parent }) => [id, parent]))
  const isMeasured = (id: (typeof lived)[number]): boolean => {
    for (let at: (typeof lived)[number] | null = id, n = 0; at !== null && n <= places.length; n += 1) {
      if (measured.has(at)) return true
      at = parentOf.get(at) ?? null
    }
    return false
  }
  return lived.some(isMeasured) ? null : 'sensor'
}

/** Whether two names of zones mean the same clock now and half a year from now: Europe/Kiev is Europe/Kyiv. */
export function isSameClock(one: string, other: string, now: number): boolean {
  if (one === other) return true
  const clock = (zone: string, at: number): string =>
    new Intl.DateTimeFormat('en-GB', { timeZone: zone, dateStyle: 'short', timeStyle: 'short' }).format(at)
  const halfAYear = 182 * 86_400_000
  return [now, now + halfAYear].every((at) => clock(one, at) === clock(other, at))
}
