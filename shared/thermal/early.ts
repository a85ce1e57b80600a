import type { Instant, Millis } from '../../schemas/units.ts'
import { hours, millis, minutes } from '../../schemas/amounts.ts'
import { forecastOf, type Estimate, type Outlook } from './forecast.ts'
import { isSettled, laggedAt, startLag, stepLag, type LagState, type Point } from './lag.ts'
import { chanceBelow } from './normal-law.ts'
import { paceOf, type Pace } from './pace-interval.ts'

/** What is remembered for one place's early alarm. Plain data, bounded. */
export interface EarlyState {
  /** What the animal follows the air to. */
  readonly lag: LagState
  /** The animal's temperature now and then over the last hour, oldest first. */
  readonly recent: readonly (readonly [at: Instant, celsius: number])[]
}

/** Between two kept points: what lags by an hour moves little in less. */
const keptEvery: Millis = minutes(5)
/** Two or three runs of a compressor, so that their swing is not taken for a trend. So thirteen points at most (X3). */
const keptFor: Millis = hours(1)

/** Begins with the first reading of the air; `celsius` is the animal's own, where somebody measured it. */
export function startEarly(point: Point, celsius?: number): EarlyState {
  const lag = startLag(point, celsius)
  return { lag, recent: [[lag.at, kept(lag.celsius)]] }
}

/** Moves by one reading of the air; `tau` is the animal's (the box's) time constant. */
export function stepEarly(state: EarlyState, point: Point, tau: Millis): EarlyState {
  const lag = stepLag(state.lag, point, tau)
  if (lag === state.lag) return state
  const newest = state.recent.at(-1)
  if (newest !== undefined && lag.at - newest[0] < keptEvery) return { ...state, lag }
  const recent = state.recent.filter(([at]) => lag.at - at <= keptFor)
  return { lag, recent: [...recent, [lag.at, kept(lag.celsius)]] }
}

/** To a tenth of a millikelvin: no probe has more digits, and they are most of what is kept. Never minus nothing. */
const kept = (celsius: number): number => Math.round(celsius * 1e4) / 1e4 + 0

export interface EarlyQuestion {
  readonly at: Instant
  readonly tau: Millis
  /** °C, and from which side it is met. */
  readonly limit: number
  readonly side: 'low' | 'high'
  readonly horizon: Millis
  /** Chance from which on it is told, more than 0.5 and less than 1. */
  readonly confidence: number
  /** Standard uncertainty of the sensor, K. */
  readonly uncertainty: number
  /**
   * What the place goes to if nobody acts: the room after a power cut, `stuckOnAt` while it cools without a stop. Null while the
   * thermostat holds it or no model is known: then the trend stands alone.
   */
  readonly outlook: Omit<Outlook, 'load'> | null
}

/** One witness: where it sees the animal at the horizon, and the chance that the limit is met by then. */
interface Witness {
  readonly expected: Estimate
  readonly chance: number
}

export interface EarlyFigures {
  /** The animal now. */
  readonly now: Estimate
  readonly trend: (Witness & { readonly perHour: number }) | null
  readonly forecast: (Witness & { readonly isRoomMeasured: boolean }) | null
}

export type EarlyDecision =
  | { readonly name: 'notKnownYet'; readonly figures: EarlyFigures }
  | { readonly name: 'quiet'; readonly figures: EarlyFigures }
  | {
      readonly name: 'raise'
      /** `met`: it is there already. `nearTrend`: the straight line alone, within a quarter of the horizon. */
      readonly because: 'met' | 'forecast' | 'trend' | 'both' | 'nearTrend'
      readonly figures: EarlyFigures
    }

/**
 * A share of the animal's temperature that no measured air stands behind is wrong by this many K (standard
 * uncertainty). Derived: a box just moved from a cool room to a fridge.
 */
const unknownStart = 3
/** Times at which the forecast is looked at on the way to the horizon: it may turn once and come back. */
const looks = 6
/** A straight line is trusted against a forecast no farther than this share of the horizon: nothing levels off that fast. */
const nearShare = 1 / 4

/**
 * Whether the animal will meet the limit within the horizon with the confidence asked for. The forecast knows where
 * things level off but may have the wrong model; the trend knows no model but where the animal really goes. So the
 * forecast may raise alone, the trend alone only where there is no forecast, or the forecast thinks it as likely as
 * not, or the limit is near.
 */
export function earlyAlarm(state: EarlyState, question: EarlyQuestion): EarlyDecision {
  const { at, tau, confidence, horizon } = question
  const now = {
    celsius: laggedAt(state.lag, at, tau),
    uncertainty: Math.hypot(question.uncertainty, (1 - state.lag.known) * unknownStart),
  }
  const pace = isSettled(state.lag) ? paceOf(state.recent) : null
  const trend = pace === null ? null : trendWitness(now, pace, horizon, question)
  const forecast = question.outlook === null ? null : forecastWitness(now, question.outlook, question)
  const figures = { now, trend, forecast }

  if (isMet(now, question) >= confidence) return { name: 'raise', because: 'met', figures }
  if (trend === null && forecast === null) return { name: 'notKnownYet', figures }
  const isForecast = forecast !== null && forecast.chance >= confidence
  const isTrend = trend !== null && trend.chance >= confidence
  if (isForecast) return { name: 'raise', because: isTrend ? 'both' : 'forecast', figures }
  if (isTrend && (forecast === null || forecast.chance >= 0.5)) {
    return { name: 'raise', because: 'trend', figures }
  }
  if (isTrend && pace !== null) {
    const near = trendWitness(now, pace, millis(Math.round(horizon * nearShare)), question)
    if (near.chance >= confidence) return { name: 'raise', because: 'nearTrend', figures }
  }
  return { name: 'quiet', figures }
}

/** Chance that the true temperature is at or beyond the limit. */
function isMet({ celsius, uncertainty }: Estimate, { limit, side }: EarlyQuestion): number {
  return side === 'low'
    ? chanceBelow(limit, celsius, uncertainty)
    : chanceBelow(-limit, -celsius, uncertainty)
}

/** Half the width of a 95 % interval in standard deviations. */
const z95 = 1.96

function trendWitness(now: Estimate, pace: Pace, after: Millis, question: EarlyQuestion) {
  const ahead = after / hours(1)
  const paceUncertainty = (pace.high - pace.low) / (2 * z95)
  const expected = {
    celsius: now.celsius + pace.perHour * ahead,
    uncertainty: Math.hypot(now.uncertainty, paceUncertainty * ahead),
  }
  return { expected, chance: isMet(expected, question), perHour: pace.perHour }
}

function forecastWitness(load: Estimate, outlook: Omit<Outlook, 'load'>, question: EarlyQuestion) {
  const forecast = forecastOf({ ...outlook, load }, 'load')
  let chance = 0
  for (let k = 1; k <= looks; k++) {
    const after = millis(Math.round((question.horizon * k) / looks))
    chance = Math.max(chance, isMet(forecast(after), question))
  }
  return { expected: forecast(question.horizon), chance, isRoomMeasured: outlook.isRoomMeasured }
}
