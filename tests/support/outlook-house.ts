import { openHouse } from '../../daemon/app/house.ts'
import type { OutlookMemory } from '../../daemon/app/outlook-now.ts'
import { openOutlooks } from '../../daemon/app/outlooks.ts'
import { hmacSeal } from '../../daemon/host/seal.ts'
import { hours, instant, later, minutes, seconds } from '../../schemas/amounts.ts'
import { Household } from '../../schemas/household.ts'
import type { PlaceId, SensorId } from '../../schemas/ids.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { cellarFridge, curveStart, practiceCurve, type Probe, shownBy } from './practice-curve.ts'
import { simulatedTime } from './simulated-time.ts'
import { openStore } from './store-world.ts'

/** The plug is out for the trial run, and later for good: it fails. */
export const plugOut = { from: later(curveStart, hours(10)), until: later(curveStart, hours(18)) }
export const fails = later(curveStart, hours(32))

export const fridgeAir = 'fridge-air' as SensorId
const cellarAir = 'cellar-air' as SensorId
export const [fridge, box, cellar] = ['fridge' as PlaceId, 'box' as PlaceId, 'cellar' as PlaceId]

export interface OutlookStory {
  readonly hasTrial?: boolean
  readonly hasRoomSensor?: boolean
  /** No animal: no limits. */
  readonly isEmpty?: boolean
}

/** What the thermometers of a fridge with a box in a cellar say over some days. */
export const truth = practiceCurve(cellarFridge({}, { swing: 0.5 }), hours(56), 5, (elapsed) => ({
  powered: !(elapsed >= hours(10) && elapsed < hours(18)) && elapsed < hours(32),
}))
const shown = (place: number) =>
  shownBy(truth, { place, every: minutes(2), noise: 0.06, step: 1 / 16 } satisfies Probe, 9)
const said = [
  ...shown(1).map((point) => ({ ...point, sensor: fridgeAir })),
  ...shown(0).map((point) => ({ ...point, sensor: cellarAir })),
].toSorted((one, other) => one.at - other.at)

const household = ({ hasTrial = true, hasRoomSensor = true, isEmpty = false }: OutlookStory): Household =>
  Household.parse({
    version: 1,
    name: 'Outlook house',
    timeZone: 'UTC',
    places: [
      { id: cellar, name: 'Cellar', kind: 'room' },
      {
        id: fridge,
        name: 'Fridge',
        kind: 'fridge',
        parent: cellar,
        ...(hasTrial && {
          trial: { from: curveStart, until: later(curveStart, hours(20)), by: 'Ada', plugOut: [plugOut] },
        }),
      },
      { id: box, name: 'Box', kind: 'box', parent: fridge },
    ],
    sensors: [
      { id: fridgeAir, name: 'Fridge air', place: fridge, topic: 'a', type: 'ds18b20' },
      ...(hasRoomSensor
        ? [{ id: cellarAir, name: 'Cellar air', place: cellar, topic: 'b', type: 'ds18b20' }]
        : []),
    ],
    animals: isEmpty
      ? []
      : [
          {
            id: 'juno',
            name: 'Juno',
            species: 'testudo-horsfieldii',
            place: box,
            mode: 'goesDown',
            plan: [{ phase: 'hold', from: instant(curveStart - hours(24)) }],
          },
        ],
    contacts: [
      {
        id: 'ada',
        name: 'Ada',
        channels: [{ id: 'ada-mail', kind: 'mail', label: 'Mail', address: 'ada@frog-house.example' }],
      },
    ],
  })

/** A house on real SQLite that has lived through the story up to wherever `liveUntil` led it. */
export function outlookHouse(folder: string, story: OutlookStory = {}) {
  const time = simulatedTime(curveStart)
  const { db, store } = openStore(folder)
  const memory: OutlookMemory = new Map()
  const parcels: Parcel[] = []
  let pauses = 0
  const house = openHouse({
    store,
    clock: time.clock,
    timer: time.timer,
    log: { debug() {}, info() {}, warn() {}, error() {} },
    profileOf,
    commitEvery: seconds(60),
    newHousehold: () => household(story),
    messages: {
      seal: hmacSeal(new Uint8Array(32)),
      address: () => 'https://house.example',
      isPractice: false,
      outlooks: memory,
    },
  })
  house.sendBy({ put: (some) => parcels.push(...some), settle() {} })
  house.take({ kind: 'listening', at: curveStart }, 'soon')
  const outlooks = openOutlooks({
    house,
    store,
    clock: time.clock,
    timer: time.timer,
    pause: () => {
      pauses++
      return Promise.resolve()
    },
    memory,
  })
  let next = 0
  return {
    house,
    db,
    store,
    time,
    memory,
    parcels,
    outlooks,
    pauses: () => pauses,
    /** Time passes with a reading of each sensor every two minutes; `silent` sensors say nothing. */
    async liveUntil(at: number, silent: readonly SensorId[] = []): Promise<void> {
      for (; next < said.length && (said[next]?.at ?? 0) <= at; next++) {
        const one = said[next]
        if (one === undefined) break
        if (one.at > time.clock.now()) {
          await time.pass(one.at - time.clock.now())
          house.take({ kind: 'timePassed', at: time.clock.now() }, 'group')
        }
        if (silent.includes(one.sensor) || !house.state().layout.sensorIndex.has(one.sensor)) continue
        const reading = {
          sensor: one.sensor,
          quantity: 'temperature',
          at: one.at,
          value: one.celsius,
        } as const
        house.take({ kind: 'reading', reading, heardAt: one.at }, 'group')
      }
    },
    async outlookOf(place: PlaceId) {
      const outcome = await outlooks.outlook(place)
      if (!outcome.ok) throw new Error(outcome.sentence)
      return outcome.value
    },
    close() {
      house.close()
      store.close()
    },
  }
}
