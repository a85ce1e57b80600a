import { millis } from '../../schemas/amounts.ts'
import type { PlaceKind } from '../../schemas/place.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { Guidance, SpeciesProfile } from '../../schemas/species.ts'
import type { Trial } from '../../schemas/trial.ts'
import type {
  TrialAgreement,
  TrialHoldOver,
  TrialReport,
  TrialSensor,
  TrialSpecies,
} from '../../schemas/trial-report.ts'
import type { Millis } from '../../schemas/units.ts'
import { calibrationAt } from '../sensing/calibration.ts'
import { coverageFactor } from '../sensing/coverage.ts'
import { budgetOf } from '../sensing/uncertainty.ts'
import { trialAdvice } from './trial-advice.ts'
import { heldUntil, holdOverOf } from './trial-hold-over.ts'
import { deviationOf, percentile } from './trial-spread.ts'
import { countedOf, longEnough, plugsOf, skipsOf, type Stretch } from './trial-times.ts'
import { holdLimits, type Judged, trialVerdict } from './trial-verdict.ts'
import { meanOf, type TrialWalk, usualRecovery } from './trial-walk.ts'

/** One sensor followed to the end of the run. */
export interface Walked {
  readonly sensor: Sensor
  readonly place: { readonly id: NonNullable<Sensor['place']>; readonly name: string }
  readonly walk: TrialWalk
  /** Of the counted time, that of which single readings gave way to hourly figures: the walk did not see it. */
  readonly hourly: Millis
}

export interface ReportAsked {
  readonly trial: Trial
  readonly run: Stretch
  readonly kind: PlaceKind
  readonly isGuarded: boolean
  /** In the place and inside it, followed by `limitsOf` the species. */
  readonly sensors: readonly Walked[]
  /** Of what stands around it. */
  readonly room: Walked | null
  readonly species: readonly SpeciesProfile[]
  readonly guidance: Guidance
}

/** The limits of all species in the order in which each walk counts them. */
export const limitsOf = (species: readonly SpeciesProfile[], guidance: Guidance) =>
  species.flatMap((profile) => holdLimits(profile, guidance))

/** What the days of running empty showed. */
export function trialReport(asked: ReportAsked): TrialReport {
  const { trial, run, kind, isGuarded, species, guidance } = asked
  const plugs = plugsOf(trial, run)
  const counted = countedOf(run, skipsOf(run, plugs, undefined))
  const lasted = millis(run.to - run.from)
  const sensors = asked.sensors.map((one) => sensorOf(one, run))
  const agreement = agreementOf(sensors)
  const unplugged = holdOverIn(asked)
  const hourly = millis(
    Math.max(0, ...asked.sensors.map((one, i) => (sensors[i]?.isJudged ? one.hourly : 0))),
  )

  let first = 0
  const judgements = species.map((profile) => {
    const limits = holdLimits(profile, guidance)
    const start = first
    first += limits.length
    const judged = asked.sensors.flatMap((one, i): Judged[] => {
      const about = sensors[i]
      if (about === undefined || !about.isJudged || about.figures === null) return []
      const { beyond, known } = one.walk
      const shares = limits.map((_, k) => (known > 0 ? (beyond[start + k] ?? 0) / known : 0))
      return [{ about: { ...about, figures: about.figures }, beyond: shares, hourly: one.hourly }]
    })
    const verdict = trialVerdict({ profile, limits, judged, lasted, counted, hourly, isGuarded, agreement })
    const held =
      unplugged === null ? [] : heldUntil(unplugged.trial, unplugged.readings, unplugged.usual, limits)
    const shown: TrialSpecies = {
      species: profile.id,
      common: profile.common,
      latin: profile.latin,
      isWeak: profile.weak,
      verdict: verdict.verdict,
      reasons: [...verdict.reasons],
      limits: limits.map(({ limit, value }) => ({ limit, value })),
      outShare: verdict.outShare,
      marginLow: verdict.marginLow,
      marginHigh: verdict.marginHigh,
      held,
    }
    return { limits, judged, verdict, shown }
  })

  const report: Omit<TrialReport, 'advice'> = {
    from: run.from,
    to: run.to,
    isRunning: trial.until === null,
    plugOutSince:
      trial.until === null ? (trial.plugOut.find(({ until }) => until === null)?.from ?? null) : null,
    litres: trial.litres,
    by: trial.by,
    lasted,
    counted,
    isLongEnough: lasted >= longEnough,
    isGuarded,
    sensors,
    gradient: gradientOf(sensors),
    agreement,
    room: roomOf(asked.room),
    holdOver: unplugged?.trial ?? null,
    species: judgements.map(({ shown }) => shown),
  }
  const downs = judgements.filter((_, i) => species[i]?.hold !== undefined)
  const judged = judgements[0]?.judged ?? []
  return { ...report, advice: trialAdvice({ kind, report, judged, given: downs }) }
}

function sensorOf({ sensor, place, walk }: Walked, run: Stretch): TrialSensor {
  const { steady, learning } = walk
  const { min, max } = steady
  const [p5, p95] = [percentile(steady, 0.05), percentile(steady, 0.95)]
  const usual = learning.usual
  const isKnown = min !== null && max !== null && p5 !== null && p95 !== null
  const recovery = usualRecovery(walk)
  return {
    sensor: sensor.id,
    name: sensor.name,
    place: place.id,
    placeName: place.name,
    spot: sensor.spot,
    isJudged: sensor.spot === 'air' || sensor.spot === 'substrate',
    readings: walk.readings,
    known: millis(walk.known),
    figures: isKnown
      ? {
          mean: steady.mean,
          sd: deviationOf(steady),
          min,
          max,
          p5,
          p95,
          day: meanOf(walk.day),
          night: meanOf(walk.night),
        }
      : null,
    expanded: budgetOf(sensor, 'temperature', { at: run.to, raw: steady.mean }).expanded,
    isChecked: calibrationAt(sensor.calibrations, 'temperature', run.to) !== null,
    isAir: walk.rules.isAir,
    cyclesSeen: learning.count,
    cycle:
      usual === null
        ? null
        : {
            period: millis(Math.round(usual.period.middle)),
            duty: Math.min(1, Math.max(0, usual.duty.middle)),
            amplitude: usual.amplitude.middle,
          },
    doors: {
      count: walk.doors,
      usualRecovery: recovery === null ? null : millis(Math.round(recovery)),
      longestRecovery: walk.longestRecovery === null ? null : millis(walk.longestRecovery),
      highestRise: walk.highestRise,
    },
  }
}

/** A spot that was heard for less of it is not compared: it may have been another day. A design choice. */
const heardAlike = 0.8

const alike = (one: TrialSensor, other: TrialSensor): boolean =>
  Math.min(one.known, other.known) >= heardAlike * Math.max(one.known, other.known)

/** Sensors in one spot of one place, each pair, by what both may be off (independent: their squares add, GUM 5.1.2). */
function agreementOf(sensors: readonly TrialSensor[]): TrialAgreement[] {
  return sensors.flatMap((one, i) =>
    sensors.slice(i + 1).flatMap((other): TrialAgreement[] => {
      if (one.place !== other.place || one.spot !== other.spot || !alike(one, other)) return []
      if (one.figures === null || other.figures === null) return []
      const difference = other.figures.mean - one.figures.mean
      const allowed = Math.hypot(one.expanded, other.expanded)
      const agree = Math.abs(difference) <= allowed
      return [{ place: one.place, one: one.sensor, other: other.sensor, difference, allowed, agree }]
    }),
  )
}

function gradientOf(sensors: readonly TrialSensor[]): TrialReport['gradient'] {
  const known = sensors
    .filter(({ isJudged, known: ms }) => isJudged && ms > 0)
    .toSorted((one, other) => (one.figures?.mean ?? 0) - (other.figures?.mean ?? 0))
  const [coldest, warmest] = [known[0], known.at(-1)]
  if (coldest === undefined || warmest === undefined || coldest === warmest) return null
  if (coldest.figures === null || warmest.figures === null || !alike(coldest, warmest)) return null
  return {
    coldest: coldest.sensor,
    warmest: warmest.sensor,
    difference: warmest.figures.mean - coldest.figures.mean,
    allowed: Math.hypot(coldest.expanded, warmest.expanded),
  }
}

function roomOf(room: Walked | null): TrialReport['room'] {
  if (room === null) return null
  const { min, max, mean, ms } = room.walk.steady
  if (min === null || max === null || !(ms > 0)) return null
  return { sensor: room.sensor.id, name: room.place.name, mean, min: min.value, max: max.value }
}

/** The longest time with its plug out, as the slowest sensor shows it: what lies in substrate before what hangs in air. */
function holdOverIn({ run, trial, sensors, room }: ReportAsked) {
  const plugs = plugsOf(trial, run)
  const longest = plugs
    .map((plug, i) => ({ i, lasts: plug.to - plug.from }))
    .toSorted((one, other) => other.lasts - one.lasts)[0]
  if (longest === undefined) return null
  const ranked = ['substrate', 'air', 'water', 'basking']
  const slowest = sensors
    .filter(({ walk }) => (walk.unplugged[longest.i]?.length ?? 0) > 1)
    .toSorted((one, other) => ranked.indexOf(one.sensor.spot) - ranked.indexOf(other.sensor.spot))[0]
  if (slowest === undefined) return null
  const readings = slowest.walk.unplugged[longest.i] ?? []
  const about = room === null ? null : budgetOf(room.sensor, 'temperature', { at: run.to, raw: 15 })
  const found: TrialHoldOver | null = holdOverOf({
    sensor: slowest.sensor.id,
    readings,
    room:
      room === null || about === null
        ? null
        : {
            readings: room.walk.unplugged[longest.i] ?? [],
            uncertainty: about.expanded / coverageFactor,
          },
  })
  if (found === null) return null
  const { steady } = slowest.walk
  return { trial: found, readings, usual: steady.ms > 0 ? steady.mean : found.from }
}
