import type { LimitName } from '../../schemas/band.ts'
import type { Guidance, SpeciesProfile } from '../../schemas/species.ts'
import type { TrialAgreement, TrialSensor, TrialVerdict } from '../../schemas/trial-report.ts'
import type { Millis } from '../../schemas/units.ts'
import { nearFreezing } from '../judging/guard-figures.ts'
import { apartWords, durationWords, valueWords } from '../telling/words.ts'
import { goodLength, longEnough } from './trial-times.ts'
import { type HoldLimit, isBeyond } from './trial-walk.ts'
import { say } from '../words/say.ts'

/** A judged sensor with figures, and of each of the species' limits the share of its known time beyond it. */
export interface Judged {
  readonly about: TrialSensor & { readonly figures: NonNullable<TrialSensor['figures']> }
  readonly beyond: readonly number[]
  /** Of the counted time, that of which single readings gave way to hourly figures. */
  readonly hourly: Millis
}

export interface VerdictAsked {
  readonly profile: SpeciesProfile
  readonly limits: readonly HoldLimit[]
  readonly judged: readonly Judged[]
  readonly lasted: Millis
  readonly counted: Millis
  /** The longest `hourly` of any judged sensor, those without figures among them. */
  readonly hourly: Millis
  readonly isGuarded: boolean
  readonly agreement: readonly TrialAgreement[]
}

export interface VerdictGiven {
  readonly verdict: TrialVerdict
  readonly reasons: readonly string[]
  readonly outShare: number | null
  readonly marginLow: number | null
  readonly marginHigh: number | null
  /** By how much the coldest must be warmer, and the warmest colder, to be inside the critical limits; K, 0 for not. */
  readonly warmer: number
  readonly colder: number
  /** By how much all may become colder, and warmer, until the critical limits are met; K, negative where one is. */
  readonly slackLow: number | null
  readonly slackHigh: number | null
}

/** Out of low or high for a greater share of the time is no remark any more. A design choice. */
const mostOut = 0.1
/** Of less nothing is said: a turn of the cycle falls between two readings. A design choice. */
const leastOut = 0.005
/** A sensor silent for a greater share of the counted time may have missed the worst of it. A design choice. */
const mostUnknown = 0.5

/** The limits of a species in hold, by the guidance that the house follows. */
export const holdLimits = (profile: SpeciesProfile, guidance: Guidance): readonly HoldLimit[] =>
  (profile.hold?.temperature ?? []).map(({ limit, value, lenient, inclusive }) => ({
    limit,
    value: guidance === 'lenient' ? (lenient ?? value) : value,
    inclusive,
  }))

/**
 * Whether a species may be held cold here. Critical limits judge the coldest and the warmest spot's extremes, moved
 * inwards by what the sensor may be off (L9; ILAC-G8:09/2019, guarded acceptance: the moved limit itself passes); the
 * inner limits judge means and the share of time, for an animal in its substrate rides out the swing of the air.
 */
export function trialVerdict(asked: VerdictAsked): VerdictGiven {
  const { profile, limits, lasted } = asked
  const none = {
    outShare: null,
    marginLow: null,
    marginHigh: null,
    warmer: 0,
    colder: 0,
    slackLow: null,
    slackHigh: null,
  }
  if (profile.hold === undefined)
    return {
      ...none,
      verdict: 'notFit',
      reasons: [say('{common} must not go down for winter.', { common: profile.common })],
    }
  const judged = asked.judged.filter(({ about }) => about.known >= mostUnknown * asked.counted)
  const [coldest, warmest] = [extremeOf(asked.judged, -1), extremeOf(asked.judged, 1)]
  if (coldest === null || warmest === null)
    return { ...none, verdict: 'notKnownYet', reasons: [tooShort(lasted) ?? tooLittle(asked)] }

  const sides = [sideOf('low', coldest, asked), sideOf('high', warmest, asked)] as const
  const outShare = Math.max(0, ...asked.judged.map((one) => outOf(one, limits)))
  const against = sides.flatMap(({ against: says }) => says)
  if (outShare > mostOut)
    against.push(say('For {percent} of the time a spot was out of the band.', { percent: percent(outShare) }))
  const given = {
    outShare,
    marginLow: sides[0].margin,
    marginHigh: sides[1].margin,
    warmer: sides[0].move,
    colder: sides[1].move,
    slackLow: sides[0].slack,
    slackHigh: sides[1].slack,
  }
  const remarks = remarksOf(asked, outShare)
  if (against.length > 0) return { ...given, verdict: 'notFit', reasons: against }
  const short = tooShort(lasted)
  const unknown = [...(short === null ? [] : [short]), ...(judged.length === 0 ? [tooLittle(asked)] : [])]
  if (unknown.length > 0) return { ...given, verdict: 'notKnownYet', reasons: unknown }
  const good = sides.flatMap(({ good: says }) => says)
  return {
    ...given,
    verdict: remarks.length > 0 ? 'fitWithRemarks' : 'fit',
    reasons: [...good, ...remarks],
  }
}

/** Why so little is known of the time that counts. */
const tooLittle = ({ hourly }: VerdictAsked): string =>
  hourly > 0
    ? onlyHourly(hourly)
    : say('The sensors were heard for less than half of the time that counts: what they missed is not known.')

const onlyHourly = (hourly: Millis): string =>
  say(
    'Of {duration} of it only hourly figures are still kept: they are left out, and with them what happened within the hours.',
    { duration: durationWords(hourly) },
  )

function tooShort(lasted: Millis): string | null {
  return lasted >= longEnough
    ? null
    : say('It ran for {duration}; {duration2} are the least, a week is better.', {
        duration: durationWords(lasted),
        duration2: durationWords(longEnough),
      })
}

interface Side {
  readonly against: string[]
  readonly good: string[]
  readonly margin: number | null
  readonly move: number
  readonly slack: number | null
}

function sideOf(side: 'low' | 'high', extreme: Judged, { limits, judged, isGuarded }: VerdictAsked): Side {
  const sign = side === 'low' ? 1 : -1
  const { about } = extreme
  const value = side === 'low' ? about.figures.min.value : about.figures.max.value
  const critical = limits.find(({ limit }) => limit === `${side}Critical`)
  const inner = limits.find(({ limit }) => limit === side)
  const against: string[] = []
  const good: string[] = []
  let margin: number | null = null
  let move = 0
  let slack: number | null = null
  if (critical !== undefined) {
    const isFrost = side === 'high' || critical.value <= nearFreezing
    const guard = isFrost && isGuarded ? about.expanded : 0
    margin = sign * (value - critical.value)
    slack = margin - guard
    const short = -slack
    const name = spotWords(about)
    const given = {
      name,
      temperature: temperature(value),
      kelvin: kelvin(guard),
      dangerous: temperature(critical.value),
    }
    if (isBeyond(critical, value)) {
      move = short + smallestMove
      against.push(
        side === 'low'
          ? say('{name} came down to {temperature}: at or below {dangerous}.', given)
          : say('{name} went up to {temperature}: at or above {dangerous}.', given),
      )
    } else if (short > rounding) {
      move = short + smallestMove
      against.push(
        side === 'low'
          ? say(
              '{name} came down to {temperature} and may be off by ±{kelvin}: {dangerous}, at or below which it is dangerous, is not ruled out.',
              given,
            )
          : say(
              '{name} went up to {temperature} and may be off by ±{kelvin}: {dangerous}, at or above which it is dangerous, is not ruled out.',
              given,
            ),
      )
    } else {
      const spared = {
        ...given,
        kelvin: kelvin(margin),
        guard: guard > 0 ? say('; the sensor may be off by ±{kelvin}', { kelvin: kelvin(guard) }) : '',
      }
      good.push(
        side === 'low'
          ? say(
              'The coldest value was {temperature} ({name}): {kelvin} above the {dangerous} at which it is dangerous{guard}.',
              spared,
            )
          : say(
              'The warmest value was {temperature} ({name}): {kelvin} below the {dangerous} at which it is dangerous{guard}.',
              spared,
            ),
      )
    }
  }
  if (inner !== undefined) {
    const worst = byMean(judged, sign)
    if (worst !== null && isBeyond(inner, worst.about.figures.mean))
      against.push(
        meanWords(side, {
          spot: spotWords(worst.about),
          temperature: temperature(worst.about.figures.mean),
          edge: temperature(inner.value),
        }),
      )
  }
  return { against, good, margin, move, slack }
}

const meanWords = (
  side: 'low' | 'high',
  given: Readonly<Record<'spot' | 'temperature' | 'edge', string>>,
): string =>
  side === 'low'
    ? say('On average {spot} was at {temperature}; the band begins at {edge}.', given)
    : say('On average {spot} was at {temperature}; the band ends at {edge}.', given)

/** What a thermostat can be set by at all, K. A design choice. */
const smallestMove = 0.2
/** Differences of decimal fractions are off by this and less. */
const rounding = 1e-9

/** `Fridge air in Larder fridge`. */
const spotWords = ({ name, placeName }: Judged['about']): string =>
  say('{name} in {place}', { name, place: placeName })

function remarksOf(
  { profile, judged, lasted, counted, hourly, agreement }: VerdictAsked,
  outShare: number,
): readonly string[] {
  const remarks: string[] = []
  if (hourly > 0) remarks.push(onlyHourly(hourly))
  if (lasted < goodLength)
    remarks.push(say('It ran for {duration}; a week shows more.', { duration: durationWords(lasted) }))
  if (outShare > leastOut)
    remarks.push(say('For {percent} of the time a spot was out of the band.', { percent: percent(outShare) }))
  if (agreement.some(({ agree }) => !agree)) remarks.push(say('Sensors in one spot do not agree.'))
  if (judged.some(({ about, hourly: thinned }) => about.known + thinned < mostUnknown * counted))
    remarks.push(say('A sensor was silent for more than half of the time.'))
  if (profile.weak) remarks.push(say('The limits of this species rest on keepers’ habit alone.'))
  return remarks
}

function extremeOf(judged: readonly Judged[], sign: 1 | -1): Judged | null {
  const of = ({ about }: Judged) => (sign < 0 ? about.figures.min.value : -about.figures.max.value)
  return judged.toSorted((one, other) => of(one) - of(other))[0] ?? null
}

/** The lowest mean for sign 1, the highest for −1. */
const byMean = (judged: readonly Judged[], sign: number): Judged | null =>
  judged.toSorted((one, other) => sign * (one.about.figures.mean - other.about.figures.mean))[0] ?? null

const outOf = ({ beyond }: Judged, limits: readonly HoldLimit[]): number =>
  limits.reduce((sum, { limit }, i) => sum + (isInner(limit) ? (beyond[i] ?? 0) : 0), 0)

const isInner = (limit: LimitName): boolean => limit === 'low' || limit === 'high'

export const temperature = (value: number): string => valueWords('temperature', value)
/** A difference: `0.8 °C`; no minus. */
export const kelvin = (value: number): string => apartWords(value)

function percent(share: number): string {
  return share < 0.01 ? say('less than 1 %') : `${Math.round(share * 100)} %`
}
