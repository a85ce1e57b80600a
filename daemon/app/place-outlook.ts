import { days, hours, later, minutes } from '../../schemas/amounts.ts'
import type { PlaceId, SensorId } from '../../schemas/ids.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { isInAir } from '../../shared/judging/thermal-role.ts'
import { silentAfter } from '../../shared/sensing/freshness.ts'
import type { Estimate } from '../../shared/thermal/forecast.ts'
import type { Point } from '../../shared/thermal/lag.ts'
import { type ModelFound, lookBack, outlookModel } from '../../shared/thermal/outlook.ts'
import {
  fitStretch,
  pointEvery,
  type StretchData,
  type StretchFit,
  type StretchRefusal,
  usualRoom,
} from '../../shared/thermal/outlook-fit.ts'
import {
  absences,
  alarmsInJournal,
  chosenStretches,
  type OutlookLine,
  type PassiveStretch,
  plugsInJournal,
  plugsOfTrial,
} from '../../shared/thermal/outlook-stretch.ts'
import { isWorking } from '../../shared/judging/silence.ts'
import type { Clock, Desk, Store, Timer } from '../ports.ts'
import { calibratedHistory } from './calibrated-history.ts'
import type { House } from './house.ts'
import { meanPoints } from './mean-points.ts'
import {
  type CooledPlace,
  cooledPlace,
  judgingSensor,
  type LearntOutlook,
  type OutlookMemory,
  outlookOf,
} from './outlook-place.ts'
import type { Pause } from './place-cost.ts'

/** What was learnt is good for this long: the room changes within hours, the fridge within months. A design choice. */
const refreshedAfter: Millis = hours(1)
/** The mean in front of a stretch, and the present one. Several runs of a compressor. */
const meanOver: Millis = hours(3)
/** Fewer points tell no mean. */
const fewestForMean = 10
/** The room's mean and swing of a day. */
const roomOver: Millis = days(1)
/** A room found from the bend of a curve was so that day; today it may be otherwise. K; derived. */
const otherDay = 2
/** Lines of the journal read at once, and in all: sixty days of a busy house (X3). */
const [linesAtOnce, mostLines] = [500, 20_000]

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
    if (isStopped) throw new Error('Nothing more is to be reckoned: the house closes.')
  }
  const history = calibratedHistory(store, (sensor) => {
    const { layout } = house.state()
    return layout.sensors[layout.sensorIndex.get(sensor) ?? -1]?.calibrations ?? []
  })
  const pointsOf = (sensor: SensorId, from: Instant, to: Instant): Promise<readonly Point[]> =>
    meanPoints(history, sensor, { from, to, every: pointEvery }, pause)
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
    const { layout } = watch
    const now = clock.now()
    const cooled = cooledPlace(layout, layout.placeIndex.get(place) ?? -1)
    const judge = cooled === null ? null : judgingSensor(watch, cooled)
    if (cooled === null || judge === null) {
      memory.delete(place)
      return
    }
    house.catchUp()
    const pair = pairOf(cooled, judge)
    const room = roomOf(cooled)
    const trials = cooled.shell.flatMap((q) => layout.places[q]?.place.trial ?? [])
    const fits: StretchFit[] = []
    const refused: StretchRefusal[] = []
    const stretches = await stretchesOf(cooled, now)
    if (stretches.areTooShort) refused.push('tooShort')
    for (const stretch of stretches.chosen) {
      await pause()
      const data = await dataOf(stretch, judge, pair?.sensor ?? null, room)
      const fitted = fitStretch({
        ...data,
        pair: data.pair && { ...data.pair, isOfLoad: pair?.isOfLoad ?? true },
      })
      if (fitted.ok) fits.push(fitted.fit)
      else refused.push(fitted.why)
    }
    const found = outlookModel(fits, refused, trials[0]?.litres ?? null)
    const mean = meanOf(await pointsOf(judge.id, later(now, -meanOver), later(now, 1)))
    const learnt: LearntOutlook = {
      at: now,
      judge: judge.id,
      pair: pair === null ? null : { sensor: pair.sensor.id, isOfLoad: pair.isOfLoad },
      found,
      room: await roomNow(room, found, now),
      mean,
    }
    memory.set(place, learnt)
  }

  /** Air and load are learnt together where both are measured: here, or around or inside. */
  function pairOf(
    { p, shell }: CooledPlace,
    judge: Sensor,
  ): { readonly sensor: Sensor; readonly isOfLoad: boolean } | null {
    const watch = house.state()
    const { layout } = watch
    const isOfLoad = isInAir(judge)
    const places = isOfLoad ? (layout.places[p]?.within ?? []) : shell
    for (const q of places)
      for (const s of layout.places[q]?.sensors ?? []) {
        const sensor = layout.sensors[s]
        if (sensor === undefined || sensor.id === judge.id || sensor.type === 'contact') continue
        if (!isWorking(watch, s)) continue
        const fits = isOfLoad ? sensor.spot === 'substrate' || sensor.spot === 'water' : isInAir(sensor)
        if (fits) return { sensor, isOfLoad }
      }
    return null
  }

  /** The nearest thermometer in the air around the walls that was ever heard. */
  function roomOf({
    outside,
  }: CooledPlace): { readonly sensor: Sensor; readonly uncertainty: number } | null {
    const { layout } = house.state()
    for (const q of outside)
      for (const s of layout.places[q]?.sensors ?? []) {
        const sensor = layout.sensors[s]
        if (sensor !== undefined && isInAir(sensor) && store.span(sensor.id, 'temperature') !== null)
          return { sensor, uncertainty: ofRoomSensor }
      }
    return null
  }

  async function stretchesOf(
    { shell, outside }: CooledPlace,
    now: Instant,
  ): Promise<{ readonly chosen: readonly PassiveStretch[]; readonly areTooShort: boolean }> {
    const { layout } = house.state()
    const from = later(now, -lookBack)
    const places = shell.flatMap((q) => layout.places[q]?.place ?? [])
    const lines = await linesOf(from, now)
    const all: PassiveStretch[] = []
    for (const { id, trial } of places) {
      const its = lines.filter((line) => line.place === id)
      all.push(...plugsOfTrial(trial, now), ...plugsInJournal(its), ...alarmsInJournal(its, now))
    }
    for (const q of [...shell, ...outside])
      for (const s of layout.places[q]?.sensors ?? []) {
        const sensor = layout.sensors[s]
        if (sensor === undefined || store.span(sensor.id, 'power') === null) continue
        await pause()
        const said: { at: Instant; value: number }[] = []
        // What says the same again is of use only to show that it is not silent.
        for (const { at, value, quality } of history.readings(sensor.id, 'power', from, later(now, 1)))
          if (quality === 'good') said.push({ at, value })
        all.push(...absences(said, silentAfter(sensor)))
      }
    const chosen = chosenStretches(all, from, now)
    return { chosen, areTooShort: chosen.length === 0 && all.length > 0 }
  }

  async function linesOf(
    from: Instant,
    now: Instant,
  ): Promise<readonly (OutlookLine & { place?: PlaceId | undefined })[]> {
    const lines: (OutlookLine & { place?: PlaceId | undefined })[] = []
    let before: number | undefined
    for (let read = 0; read < mostLines; read += linesAtOnce) {
      const some = store.journal({
        limit: linesAtOnce,
        from,
        to: later(now, 1),
        ...(before === undefined ? {} : { before }),
      })
      for (const { at, kind, alarmKind, place, text } of some)
        if (kind === 'changed' || alarmKind === 'notCooling')
          lines.push({
            at,
            kind,
            place,
            ...(alarmKind && { alarmKind }),
            ...(text !== undefined && { text }),
          })
      before = some.at(-1)?.id
      if (some.length < linesAtOnce || before === undefined) break
      await pause()
    }
    return lines.reverse()
  }

  async function dataOf(
    stretch: PassiveStretch,
    judge: Sensor,
    pair: Sensor | null,
    room: { readonly sensor: Sensor; readonly uncertainty: number } | null,
  ): Promise<Omit<StretchData, 'pair'> & { pair: { readings: readonly Point[] } | null }> {
    const { from, to } = stretch
    return {
      stretch,
      readings: await pointsOf(judge.id, from, to),
      before: meanOf(await pointsOf(judge.id, later(from, -meanOver), from)),
      pair: pair === null ? null : { readings: await pointsOf(pair.id, from, to) },
      room:
        room === null
          ? null
          : { readings: await pointsOf(room.sensor.id, from, to), uncertainty: room.uncertainty },
    }
  }

  async function roomNow(
    room: { readonly sensor: Sensor; readonly uncertainty: number } | null,
    found: ModelFound,
    now: Instant,
  ): Promise<LearntOutlook['room']> {
    if (room !== null) {
      const points = await pointsOf(room.sensor.id, later(now, -roomOver), later(now, 1))
      if (points.length >= fewestForMean) {
        const mean = points.reduce((sum, { celsius }) => sum + celsius, 0) / points.length
        const spread = points.reduce((sum, { celsius }) => sum + (celsius - mean) ** 2, 0) / points.length
        return {
          celsius: mean,
          uncertainty: Math.hypot(Math.sqrt(spread), room.uncertainty, ofRoomSensor),
          isMeasured: true,
        }
      }
    }
    const wentTo = found.ok ? found.model.wentTo : null
    if (wentTo === null) return { ...usualRoom, isMeasured: false }
    return {
      celsius: wentTo.celsius,
      uncertainty: Math.hypot(wentTo.uncertainty, otherDay),
      isMeasured: false,
    }
  }

  const isFresh = (place: PlaceId, within: Millis): boolean => {
    const learnt = memory.get(place)
    const age = learnt === undefined ? -1 : clock.now() - learnt.at
    if (learnt === undefined || age < 0 || age >= within) return false
    const watch = house.state()
    const cooled = cooledPlace(watch.layout, watch.layout.placeIndex.get(place) ?? -1)
    return cooled !== null && judgingSensor(watch, cooled)?.id === learnt.judge
  }

  return {
    async outlook(place) {
      if (!house.state().layout.placeIndex.has(place))
        return { ok: false, error: 'noSuchPlace', sentence: 'There is no such place.' }
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

  function next(): void {
    void refresh().then(() => {
      if (!isStopped) turn = timer.after(refreshedAfter, next)
    })
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
}

/** A start has enough to do. */
const firstRefresh: Millis = minutes(1)
/** Who asks by the page sees what is at most this old: several phones ask at once. */
const asked: Millis = minutes(1)
/** A thermometer in the room stands near the fridge at best, K. Derived. */
const ofRoomSensor = 0.4

/** The mean of some hours, and how sure it is that it stood there; null where too little was heard. */
function meanOf(points: readonly Point[]): Estimate | null {
  if (points.length < fewestForMean) return null
  const mean = (some: readonly Point[]): number =>
    some.reduce((sum, { celsius }) => sum + celsius, 0) / some.length
  const half = Math.floor(points.length / 2)
  const moved = mean(points.slice(half)) - mean(points.slice(0, half))
  return { celsius: mean(points), uncertainty: Math.hypot(0.1, moved / 2) }
}
