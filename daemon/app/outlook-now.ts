import type { LimitName } from '../../schemas/band.ts'
import type { PlaceId, SensorId } from '../../schemas/ids.ts'
import type { PlaceOutlook } from '../../schemas/outlook.ts'
import type { Instant } from '../../schemas/units.ts'
import { isConditionOut } from '../../shared/judging/alarm.ts'
import { limitNames } from '../../shared/judging/limit-names.ts'
import type { WatchState } from '../../shared/judging/watch-state.ts'
import { type Estimate, stuckOnAt } from '../../shared/thermal/forecast.ts'
import { outlookHoldOver } from '../../shared/thermal/outlook-hold-over.ts'
import {
  type ModelFound,
  outlookLimits,
  type OutlookPresent,
  type OutlookThreshold,
} from '../../shared/thermal/outlook.ts'
import { unknownOutlook } from '../../shared/thermal/outlook-unknown.ts'
import { isPlugOut } from '../../shared/thermal/trial-acts.ts'
import type { CycleBaseline } from '../../shared/thermal/usual-cycle.ts'
import { type CooledPlace, cooledPlace, judgingSensor } from './cooled-place.ts'

/** What was learnt of one place, to be put together with how it stands when somebody asks. */
export interface LearntOutlook {
  readonly at: Instant
  readonly judge: SensorId
  /** The other of air and load. */
  readonly pair: { readonly sensor: SensorId; readonly isOfLoad: boolean } | null
  readonly found: ModelFound
  readonly room: Estimate & { readonly isMeasured: boolean }
  /** The judging sensor's mean of the last hours, where no cycle is known. */
  readonly mean: Estimate | null
}

/** Kept while the daemon runs: an alarm's message must not wait for a reckoning. */
export type OutlookMemory = Map<PlaceId, LearntOutlook>

/** What would happen if the power failed now, or the compressor never stopped; reckoned at once. */
export function outlookOf(
  watch: WatchState,
  place: PlaceId,
  learnt: LearntOutlook | null,
  at: Instant,
): PlaceOutlook {
  const p = watch.layout.placeIndex.get(place) ?? -1
  const nothing = { place, at, now: null, room: null, from: null, holdOver: null }
  const cooled = cooledPlace(watch.layout, p)
  if (cooled === null) return { ...nothing, ...neither('notCooled') }
  const judge = judgingSensor(watch, cooled)
  if (judge === null) {
    const hasAny = cooled.shell.some((q) => (watch.layout.places[q]?.sensors.length ?? 0) > 0)
    return { ...nothing, ...neither(hasAny ? 'silent' : 'noSensor') }
  }
  const newest = newestOf(watch, judge.id)
  if (newest === null || learnt === null || learnt.judge !== judge.id)
    return { ...nothing, ...neither(newest === null ? 'silent' : 'noStretch') }
  const common = { ...nothing, now: { sensor: judge.id, ...newest }, room: learnt.room }
  const limits = limitsIn(watch, p)
  if (limits.length === 0) return { ...common, ...neither('noLimits') }
  if (!learnt.found.ok) return { ...common, ...neither(learnt.found.why) }
  const { model } = learnt.found
  const usual = usualIn(watch, cooled)
  const present = presentOf(watch, cooled, learnt, newest.celsius, usual, at)
  const room = { celsius: learnt.room.celsius, uncertainty: learnt.room.uncertainty }
  const failing = outlookLimits(model, present, room, limits)
  const stuck = usual === null ? null : stuckOnAt(room, usual)
  return {
    ...common,
    powerFails: { isKnown: true, towards: room, limits: failing },
    stuckOn:
      stuck === null
        ? unknownOutlook('noCycle')
        : { isKnown: true, towards: stuck, limits: outlookLimits(model, present, stuck, limits) },
    from: {
      stretches: model.stretches,
      lasted: model.lasted,
      newest: model.newest,
      nodes: model.two !== null && present.both !== null ? 2 : 1,
      tau: model.tau,
      share: model.share,
    },
    holdOver: outlookHoldOver(model, present, room, limits),
  }
}

const neither = (why: Parameters<typeof unknownOutlook>[0]) => ({
  powerFails: unknownOutlook(why),
  stuckOn: unknownOutlook(why),
})

function limitsIn(watch: WatchState, p: number): readonly OutlookThreshold[] {
  const band = watch.places[p]?.rules.bands.temperature
  return limitNames.flatMap((limit: LimitName) => {
    const edge = band?.[limit]
    return edge === undefined || edge === null ? [] : [{ limit, threshold: edge.value }]
  })
}

function newestOf(watch: WatchState, sensor: SensorId): { at: Instant; celsius: number } | null {
  const s = watch.layout.sensorIndex.get(sensor)
  const series = s === undefined ? undefined : watch.sensors[s]?.series.temperature
  if (series === undefined || series.good === null || series.stale) return null
  return { at: series.good.at, celsius: series.good.value }
}

/** What the compressor usually does, of the shell's first sensor that has learnt it. */
function usualIn(watch: WatchState, { shell }: CooledPlace): CycleBaseline | null {
  for (const q of shell)
    for (const s of watch.layout.places[q]?.sensors ?? []) {
      const usual = watch.sensors[s]?.series.temperature?.thermal?.cycle?.learning.usual
      if (usual) return usual
    }
  return null
}

/** Standard uncertainty of a present temperature, K: noise and steps of common probes. Derived. */
const ofNow = 0.15
/** A value beyond the usual turn by more than this share of the swing is no longer held by the thermostat. Derived. */
const beyondUsual = 0.5
/** As `beyondUsual`, where no cycle is known, K. */
const beyondMean = 2

function presentOf(
  watch: WatchState,
  cooled: CooledPlace,
  { judge, pair, mean }: LearntOutlook,
  celsius: number,
  usual: CycleBaseline | null,
  at: Instant,
): OutlookPresent {
  const { layout } = watch
  const s = layout.sensorIndex.get(judge) ?? -1
  const isAir = layout.roles[s]?.isAir ?? false
  const isAlone = isLeftAlone(watch, cooled, at)
  const held = isAlone ? null : isAir && usual !== null ? heldBy(usual, celsius) : heldAt(mean, celsius)
  const here = held ?? { celsius, uncertainty: ofNow }
  const other = pair === null ? null : newestOf(watch, pair.sensor)
  const beside = { celsius: other?.celsius ?? 0, uncertainty: ofNow }
  return {
    here,
    both:
      pair === null || other === null
        ? null
        : {
            air: pair.isOfLoad ? here : beside,
            load: pair.isOfLoad ? beside : here,
            isOfLoad: !pair.isOfLoad,
          },
    isLeftAlone: held === null,
    ...(held !== null && isAir && usual !== null && { swing: usual.amplitude.middle }),
  }
}

function heldBy({ trough, crest, amplitude, mean }: CycleBaseline, celsius: number): Estimate | null {
  const more = beyondUsual * amplitude.middle
  if (celsius < trough.middle - more || celsius > crest.middle + more) return null
  return { celsius: mean.middle, uncertainty: Math.hypot(ofNow, amplitude.middle / 8) }
}

const heldAt = (mean: Estimate | null, celsius: number): Estimate | null =>
  mean === null || Math.abs(celsius - mean.celsius) > beyondMean ? null : mean

/** Whether nothing, or a compressor that never stops, moves it now: the alarms say so, or the keeper pulled its plug. */
function isLeftAlone(watch: WatchState, { shell }: CooledPlace, at: Instant): boolean {
  const places = shell.flatMap((q) => watch.layout.places[q]?.place ?? [])
  if (places.some(({ trial }) => isPlugOut(trial, at, 0))) return true
  return [...watch.alarms.values()].some(
    ({ kind, place, state }) =>
      (kind === 'notCooling' || kind === 'alwaysCooling') &&
      places.some(({ id }) => id === place) &&
      isConditionOut(state),
  )
}
