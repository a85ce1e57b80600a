import { days, hours, later } from '../../schemas/amounts.ts'
import type { SensorId } from '../../schemas/ids.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import type { Layout } from '../../shared/judging/layout.ts'
import { isWorking } from '../../shared/judging/silence.ts'
import { isInAir } from '../../shared/judging/thermal-role.ts'
import type { WatchState } from '../../shared/judging/watch-state.ts'
import type { Estimate } from '../../shared/thermal/forecast.ts'
import type { Point } from '../../shared/thermal/lag.ts'
import { type ModelFound, outlookModel } from '../../shared/thermal/outlook.ts'
import {
  fitStretch,
  pointEvery,
  type StretchFit,
  type StretchRefusal,
  usualRoom,
} from '../../shared/thermal/outlook-fit.ts'
import type { Store } from '../ports/store.ts'
import type { History } from './calibrated-history.ts'
import type { CooledPlace } from './cooled-place.ts'
import { meanPoints } from './mean-points.ts'
import type { LearntOutlook } from './outlook-now.ts'
import { passiveStretches } from './passive-stretches.ts'
import type { Pause } from './place-cost.ts'

/** The mean in front of a stretch, and the present one. Several runs of a compressor. */
const meanOver: Millis = hours(3)
/** Fewer points tell no mean. */
const fewestForMean = 10
/** The room's mean and swing of a day. */
const roomOver: Millis = days(1)
/** A room found from the bend of a curve was so that day; today it may be otherwise. K; derived. */
const otherDay = 2
/** A thermometer in the room stands near the fridge at best, K. Derived. */
const ofRoomSensor = 0.4

/** How the place warms without cooling, from the times when it did and by the thermometer that judges it. */
export async function learnOutlook(
  world: {
    readonly watch: WatchState
    readonly store: Pick<Store, 'journal' | 'span'>
    readonly history: Pick<History, 'readings'>
    readonly pause: Pause
  },
  cooled: CooledPlace,
  judge: Sensor,
  now: Instant,
): Promise<LearntOutlook> {
  const { watch, store, history, pause } = world
  const { layout } = watch
  const pointsOf = (sensor: SensorId, from: Instant, to: Instant): Promise<readonly Point[]> =>
    meanPoints(history, sensor, { from, to, every: pointEvery }, pause)
  const pair = pairOf(watch, cooled, judge)
  const room = roomSensorOf(layout, cooled, store)
  const trials = cooled.shell.flatMap((q) => layout.places[q]?.place.trial ?? [])
  const fits: StretchFit[] = []
  const refused: StretchRefusal[] = []
  const stretches = await passiveStretches({ layout, store, history, pause }, cooled, now)
  if (stretches.areTooShort) refused.push('tooShort')
  for (const stretch of stretches.chosen) {
    await pause()
    const { from, to } = stretch
    const fitted = fitStretch({
      stretch,
      readings: await pointsOf(judge.id, from, to),
      before: meanOf(await pointsOf(judge.id, later(from, -meanOver), from)),
      pair:
        pair === null
          ? null
          : { readings: await pointsOf(pair.sensor.id, from, to), isOfLoad: pair.isOfLoad },
      room: room === null ? null : { readings: await pointsOf(room.id, from, to), uncertainty: ofRoomSensor },
    })
    if (fitted.ok) fits.push(fitted.fit)
    else refused.push(fitted.why)
  }
  const found = outlookModel(fits, refused, trials[0]?.litres ?? null)
  const mean = meanOf(await pointsOf(judge.id, later(now, -meanOver), later(now, 1)))
  const ofRoom = room === null ? [] : await pointsOf(room.id, later(now, -roomOver), later(now, 1))
  return {
    at: now,
    judge: judge.id,
    pair: pair === null ? null : { sensor: pair.sensor.id, isOfLoad: pair.isOfLoad },
    found,
    room: roomNow(ofRoom, found),
    mean,
  }
}

/** Air and load are learnt together where both are measured: here, or around or inside. */
function pairOf(
  watch: WatchState,
  { p, shell }: CooledPlace,
  judge: Sensor,
): { readonly sensor: Sensor; readonly isOfLoad: boolean } | null {
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
function roomSensorOf(layout: Layout, { outside }: CooledPlace, store: Pick<Store, 'span'>): Sensor | null {
  for (const q of outside)
    for (const s of layout.places[q]?.sensors ?? []) {
      const sensor = layout.sensors[s]
      if (sensor !== undefined && isInAir(sensor) && store.span(sensor.id, 'temperature') !== null)
        return sensor
    }
  return null
}

/** As it was measured over the last day; else as it was where the curves bent to; else as rooms are. */
function roomNow(points: readonly Point[], found: ModelFound): LearntOutlook['room'] {
  if (points.length >= fewestForMean) {
    const mean = points.reduce((sum, { celsius }) => sum + celsius, 0) / points.length
    const spread = points.reduce((sum, { celsius }) => sum + (celsius - mean) ** 2, 0) / points.length
    return {
      celsius: mean,
      uncertainty: Math.hypot(Math.sqrt(spread), ofRoomSensor, ofRoomSensor),
      isMeasured: true,
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

/** The mean of some hours, and how sure it is that it stood there; null where too little was heard. */
function meanOf(points: readonly Point[]): Estimate | null {
  if (points.length < fewestForMean) return null
  const mean = (some: readonly Point[]): number =>
    some.reduce((sum, { celsius }) => sum + celsius, 0) / some.length
  const half = Math.floor(points.length / 2)
  const moved = mean(points.slice(half)) - mean(points.slice(0, half))
  return { celsius: mean(points), uncertainty: Math.hypot(0.1, moved / 2) }
}
