import { hours, minutes } from '../../schemas/amounts.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Millis } from '../../schemas/units.ts'
import type { Clock, Timer } from '../ports/clock.ts'
import type { Desk } from '../ports/desk.ts'
import type { Store } from '../ports/store.ts'
import { calibratedHistory } from './calibrated-history.ts'
import { cooledPlace, judgingSensor } from './cooled-place.ts'
import type { House } from './house.ts'
import { learnOutlook } from './learn-outlook.ts'
import { type OutlookMemory, outlookOf } from './outlook-now.ts'
import type { Pause } from './place-cost.ts'
import { say } from '../../shared/words/say.ts'

/** What was learnt is good for this long: the room changes within hours, the fridge within months. A design choice. */
const refreshedAfter: Millis = hours(1)
/** A start has enough to do. */
const firstRefresh: Millis = minutes(1)
/** Who asks by the page sees what is at most this old: several phones ask at once. */
const asked: Millis = minutes(1)

export interface Outlooks extends Pick<Desk, 'outlook'> {
  /** Learns afresh what is older than an hour, of every place that is limited. Never rejects. */
  refresh(): Promise<void>
  /** Refreshes a minute from now, and again and again. */
  start(): void
  /** Resolves when nothing reads the store any more. */
  stop(): Promise<void>
}

/** How long each place has if its cooling stops; what was learnt goes into `memory`, where alarm messages find it. */
export function openOutlooks(world: {
  readonly house: House
  readonly store: Store
  readonly clock: Clock
  readonly timer: Timer
  readonly pause: Pause
  readonly memory: OutlookMemory
}): Outlooks {
  const { house, store, clock, timer, memory } = world
  let isStopped = false
  let turn: { cancel(): void } | null = null
  const pause: Pause = async () => {
    await world.pause()
    if (isStopped) throw new HouseCloses(say('Nothing more is to be reckoned: the house closes.'))
  }
  const history = calibratedHistory(store, (sensor) => {
    const { layout } = house.state()
    return layout.sensors[layout.sensorIndex.get(sensor) ?? -1]?.calibrations ?? []
  })
  const running = new Map<PlaceId, Promise<void>>()

  /** One reckoning of a place at a time: a second who asks waits for the first. */
  function learn(place: PlaceId): Promise<void> {
    const before = running.get(place)
    if (before !== undefined) return before
    const work = learnNow(place).finally(() => running.delete(place))
    running.set(place, work)
    return work
  }

  async function learnNow(place: PlaceId): Promise<void> {
    const watch = house.state()
    const now = clock.now()
    const cooled = cooledPlace(watch.layout, watch.layout.placeIndex.get(place) ?? -1)
    const judge = cooled === null ? null : judgingSensor(watch, cooled)
    if (cooled === null || judge === null) {
      memory.delete(place)
      return
    }
    house.catchUp()
    memory.set(place, await learnOutlook({ watch, store, history, pause }, cooled, judge, now))
  }

  const isFresh = (place: PlaceId, within: Millis): boolean => {
    const learnt = memory.get(place)
    const age = learnt === undefined ? -1 : clock.now() - learnt.at
    if (learnt === undefined || age < 0 || age >= within) return false
    const watch = house.state()
    const cooled = cooledPlace(watch.layout, watch.layout.placeIndex.get(place) ?? -1)
    return cooled !== null && judgingSensor(watch, cooled)?.id === learnt.judge
  }

  async function refresh(): Promise<void> {
    for (const { place, tenants } of house.state().layout.places) {
      if (isStopped || isFresh(place.id, refreshedAfter)) continue
      if (tenants.length === 0 && place.ownLimits.length === 0) continue
      try {
        await learn(place.id)
        await pause()
      } catch {
        // The store says itself, and loudly, that it fails (N2); what was learnt stands.
      }
    }
  }

  function next(): void {
    void refresh().then(() => {
      if (!isStopped) turn = timer.after(refreshedAfter, next)
    })
  }

  return {
    async outlook(place) {
      if (!house.state().layout.placeIndex.has(place))
        return { ok: false, error: 'noSuchPlace', sentence: say('There is no such place.') }
      if (!isFresh(place, asked)) await learn(place)
      return { ok: true, value: outlookOf(house.state(), place, memory.get(place) ?? null, clock.now()) }
    },

    refresh,

    start() {
      turn = timer.after(firstRefresh, next)
    },

    async stop() {
      isStopped = true
      turn?.cancel()
      await Promise.allSettled(running.values())
    },
  }
}

/** What is being reckoned ends here: whoever asked is to ask again once the house is open. HTTP knows it by its name. */
class HouseCloses extends Error {
  override readonly name = 'HouseCloses'
}
