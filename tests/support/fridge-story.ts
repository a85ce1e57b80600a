import { days, hours, later, minutes } from '../../schemas/amounts.ts'
import type { Household } from '../../schemas/household.ts'
import type { SensorId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Instant } from '../../schemas/units.ts'
import { seededRandom } from '../../daemon/practice/random.ts'
import { fromSnapshot, toSnapshot } from '../../shared/judging/snapshot.ts'
import type { ThermalWatch } from '../../shared/judging/thermal-state.ts'
import { startWatch, stepWatch, type WatchEvent } from '../../shared/judging/watch.ts'
import type { WatchEffect, WatchState } from '../../shared/judging/watch-state.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import type { Point } from '../../shared/thermal/lag.ts'
import { curveStart } from './practice-curve.ts'
import { aHousehold } from './story.ts'

/** One reading on its way to the judge. */
export interface Said {
  readonly at: Instant
  readonly sensor: string
  readonly quantity: Quantity
  readonly value: number
}

export const saidBy = (sensor: string, points: readonly Point[]): readonly Said[] =>
  points.map(({ at, celsius }) => ({ at, sensor, quantity: 'temperature', value: celsius }))

export const inOrder = (...parts: readonly (readonly Said[])[]): readonly Said[] =>
  parts.flat().sort((one, other) => one.at - other.at)

/** These stories are about what the curve says, to the minute: the sensor's own uncertainty would only move them. */
const asTheyStand = { guardBand: 'off' }

/** A cellar, a fridge with a probe in its air, and a box with a tortoise in hold. */
export function fridgeHouse({
  animals = true,
  soil = false,
  contact = false,
  fridge = {},
  phase = 'hold',
}: {
  readonly animals?: boolean
  readonly soil?: boolean
  readonly contact?: boolean
  readonly fridge?: object
  readonly phase?: string
} = {}): Household {
  const sensor = (id: string, place: string, more: object = {}) => ({
    id,
    name: id,
    place,
    topic: id,
    ...more,
  })
  return aHousehold({
    places: [
      { id: 'cellar', name: 'Cellar', kind: 'room' },
      { id: 'fridge', name: 'Cellar fridge', kind: 'fridge', parent: 'cellar', ...asTheyStand, ...fridge },
      { id: 'box', name: 'Low shelf box', kind: 'box', parent: 'fridge', ...asTheyStand },
    ],
    sensors: [
      sensor('air', 'fridge', { type: 'ds18b20' }),
      ...(soil ? [sensor('soil', 'box', { type: 'ds18b20', spot: 'substrate' })] : []),
      ...(contact ? [sensor('door', 'fridge', { type: 'contact', silentAfter: days(2) })] : []),
    ],
    animals: animals
      ? [
          {
            id: 'juno',
            name: 'Juno',
            species: 'testudo-hermanni',
            place: 'box',
            mode: 'goesDown',
            plan: [{ phase, from: curveStart - days(10) }],
          },
        ]
      : [],
  })
}

/** Doors as people open them: once to three times a day between 8 and 21 o'clock, for 20 s to 2½ min. */
export function peoplesDoors(seed: number, until = days(30)): (elapsed: number) => boolean {
  const random = seededRandom(seed)
  const openings: (readonly [number, number])[] = []
  for (let day = 0; day < until; day += days(1)) {
    const times = 1 + Math.floor(random.uniform() * 3)
    for (let i = 0; i < times; i++) {
      const from = day + hours(8) + random.uniform() * hours(13)
      openings.push([from, from + minutes(0.3 + random.uniform() * 2.2)])
    }
  }
  return (elapsed) => openings.some(([from, to]) => elapsed >= from && elapsed < to)
}

/** A judge over a fridge that remembers what it said. Time is looked at every minute, between the readings. */
export function aFridgeWatch(household: Household = fridgeHouse()) {
  let state: WatchState = startWatch(household, profileOf, curveStart)
  const effects: WatchEffect[] = []
  const story = {
    get state() {
      return state
    },
    get journal(): readonly JournalEntry[] {
      return effects.flatMap((effect) => (effect.kind === 'journal' ? [effect.entry] : []))
    },
    /** Alarms of the curve and limits: `raised notCooling`, `returned limit lowCritical`. */
    get told(): readonly string[] {
      return story.alarms.map(({ kind, alarmKind, limit }) =>
        [kind, alarmKind, limit].filter(Boolean).join(' '),
      )
    },
    get alarms(): readonly JournalEntry[] {
      return story.journal.filter(({ kind }) => kind === 'raised' || kind === 'returned')
    },
    get doors(): readonly JournalEntry[] {
      return story.journal.filter(({ kind }) => kind === 'doorOpened')
    },
    first: (alarmKind: string, kind = 'raised'): JournalEntry | undefined =>
      story.alarms.find((entry) => entry.alarmKind === alarmKind && entry.kind === kind),
    thermal: (sensor = 'air', quantity: Quantity = 'temperature'): ThermalWatch | undefined =>
      state.sensors.find(({ id }) => id === sensor)?.series[quantity]?.thermal,
    is(event: WatchEvent) {
      const [next, more] = stepWatch(state, event)
      state = next
      effects.push(...more)
      return story
    },
    hears(said: readonly Said[]) {
      for (const one of said) {
        const { at, value, quantity } = one
        const sensor = one.sensor as SensorId
        story.is({ kind: 'reading', reading: { sensor, quantity, value, at }, heardAt: at })
        if (at % minutes(1) === 0) story.is({ kind: 'timePassed', at: later(at, 1000) })
      }
      return story
    },
    restarts() {
      state = fromSnapshot(toSnapshot(state), state.layout.household, profileOf)
      return story
    },
    becomes(changed: Household, at: Instant) {
      return story.is({ kind: 'household', at, household: changed, profileOf })
    },
  }
  return story
}
