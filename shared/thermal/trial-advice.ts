import { hours, minutes } from '../../schemas/amounts.ts'
import type { PlaceKind } from '../../schemas/place.ts'
import type { TrialAdviceAbout, TrialReport } from '../../schemas/trial-report.ts'
import { durationWords } from '../telling/words.ts'
import { longEnough, goodLength } from './trial-times.ts'
import { type Judged, kelvin, temperature, type VerdictGiven } from './trial-verdict.ts'
import type { HoldLimit } from './trial-walk.ts'
import { say } from '../words/say.ts'

interface Advice {
  readonly about: TrialAdviceAbout
  readonly says: string
}

export interface AdviceAsked {
  readonly kind: PlaceKind
  readonly report: Omit<TrialReport, 'advice'>
  readonly judged: readonly Judged[]
  /** Of each species that may go down. */
  readonly given: readonly { readonly limits: readonly HoldLimit[]; readonly verdict: VerdictGiven }[]
}

/** The middle of the band is missed by less than this without a word, K. A design choice. */
const offMiddle = 0.5
/** A swing of the air from trough to crest that water would calm, K. A design choice. */
const wideSwing = 2.5
/** Between the shelves of a domestic fridge without a fan a kelvin or so is ordinary (value from memory). */
const wideGradient = 1.5
/** From day to night, K. A design choice. */
const wideDay = 1
/** Half an hour is as long as tending may last (A3). */
const slowRecovery = minutes(30)
/** A compressor that runs for less of the time has hardly anything to cool; for more, hardly anything to spare. */
const [idle, busy] = [0.08, 0.75]
/** A sensor less sure than this takes much of a band of a few kelvin, ±, K. A design choice. */
const unsure = 0.3
const plugTry = hours(4)

/** What to change, only as far as the figures show it; what matters most first. */
export function trialAdvice(asked: AdviceAsked): Advice[] {
  return [
    ...levelAdvice(asked),
    ...spreadAdvice(asked),
    ...coolingAdvice(asked),
    ...doorAdvice(asked),
    ...sensorAdvice(asked),
    ...plugAdvice(asked),
    ...timeAdvice(asked),
  ]
}

function levelAdvice({ kind, report, judged, given }: AdviceAsked): Advice[] {
  const { gradient, sensors } = report
  if (judged.length === 0 || given.length === 0) return []
  const warmer = Math.max(0, ...given.map(({ verdict }) => verdict.warmer))
  const colder = Math.max(0, ...given.map(({ verdict }) => verdict.colder))
  // What helps one spot must not harm another.
  const mayWarm = Math.min(...given.map(({ verdict }) => verdict.slackHigh ?? Infinity))
  const mayCool = Math.min(...given.map(({ verdict }) => verdict.slackLow ?? Infinity))
  if ((warmer > 0 && warmer > mayWarm) || (colder > 0 && colder > mayCool))
    return [
      {
        about: 'spread',
        says: say(
          'No setting suits every spot: the coldest and the warmest value lie too far apart. First make the spots more alike and the swing smaller, then run it again.',
        ),
      },
    ]
  const middle = middleOf(given.map(({ limits }) => limits))
  const means = judged.map(({ about }) => about.figures.mean)
  const off = middle === null ? 0 : middle - (Math.min(...means) + Math.max(...means)) / 2
  const isAsked = warmer > 0 || colder > 0 || Math.abs(off) > offMiddle
  if (!isAsked) return []
  const by =
    warmer > 0
      ? Math.min(mayWarm, Math.max(warmer, off))
      : colder > 0
        ? -Math.min(mayCool, Math.max(colder, -off))
        : off
  const isWarmer = by > 0
  const probe = sensors.find(({ sensor }) => sensor === gradient?.coldest)
  const why =
    warmer > 0 && probe !== undefined && gradient !== null && gradient.difference > gradient.allowed
      ? say(' {probe} lies in the coldest spot: measure there again after the change.', { probe: probe.name })
      : ''
  const how = hasThermostat(kind)
    ? isWarmer
      ? say('Turn the thermostat warmer by about {kelvin}, wait a day and look again.', {
          kelvin: kelvin(by),
        })
      : say('Turn the thermostat colder by about {kelvin}, wait a day and look again.', {
          kelvin: kelvin(by),
        })
    : isWarmer
      ? say('It should be warmer by about {kelvin}: insulate it more, or move it to a warmer spot.', {
          kelvin: kelvin(by),
        })
      : say('It should be colder by about {kelvin}: air it more, or move it to a colder spot.', {
          kelvin: kelvin(by),
        })
  return [{ about: 'thermostat', says: how + why }]
}

/** Between the narrowest low and high of all; null where one is missing or nothing is left between. */
function middleOf(limits: readonly (readonly HoldLimit[])[]): number | null {
  const of = (name: 'low' | 'high') =>
    limits.flatMap((some) => some.filter(({ limit }) => limit === name).map(({ value }) => value))
  const [low, high] = [Math.max(...of('low')), Math.min(...of('high'))]
  return Number.isFinite(low) && Number.isFinite(high) && low < high ? (low + high) / 2 : null
}

function spreadAdvice({ kind, report }: AdviceAsked): Advice[] {
  const { gradient, sensors, litres } = report
  const out: Advice[] = []
  const nameOf = (id: string | undefined) => sensors.find(({ sensor }) => sensor === id)?.name ?? ''
  if (gradient !== null && gradient.difference > Math.max(wideGradient, gradient.allowed))
    out.push({
      about: 'spread',
      says:
        say('{name} is colder than {name2} by {kelvin}. ', {
          name: nameOf(gradient.coldest),
          name2: nameOf(gradient.warmest),
          kelvin: kelvin(gradient.difference),
        }) +
        (kind === 'fridge' || kind === 'coldRoom'
          ? say('Use the middle shelf, keep boxes off the back wall, and let a small fan run gently.')
          : say('Use the spot between them, or let a small fan mix the air gently.')),
    })
  const swing = Math.max(0, ...sensors.map(({ cycle }) => cycle?.amplitude ?? 0))
  if (swing > wideSwing)
    out.push({
      about: 'water',
      says:
        litres > 0
          ? say(
              'The air swings by {kelvin} in each run, even with {litres} L of water. Put more closed bottles of water inside: they calm it.',
              { kelvin: kelvin(swing), litres },
            )
          : say(
              'The air swings by {kelvin} in each run. Put some closed bottles of water inside: they calm it.',
              { kelvin: kelvin(swing) },
            ),
    })
  return out
}

function coolingAdvice({ kind, report, judged, given }: AdviceAsked): Advice[] {
  const out: Advice[] = []
  const { sensors, room } = report
  const cold = kind === 'fridge' || kind === 'coldRoom'
  const lows = given.flatMap(({ limits }) => limits.filter(({ limit }) => limit === 'low'))
  const low = Math.max(...lows.map(({ value }) => value))
  if (cold && room !== null && Number.isFinite(low) && room.min < low)
    out.push({
      about: 'room',
      says: say(
        'The room came down to {temperature}. A fridge cannot warm itself: below {temperature2} it follows the room. Put it in a warmer room before the frost.',
        { temperature: temperature(room.min), temperature2: temperature(low) },
      ),
    })
  const cycle = sensors.find((one) => one.cycle !== null)?.cycle ?? null
  const air = sensors.filter(({ isAir, figures }) => isAir && figures !== null)
  if (cold && cycle !== null && cycle.duty > busy)
    out.push({
      about: 'cooling',
      says: say(
        'It cools for {round} % of the time: nothing is left for a warm day. Look at the door seal and the space behind it, and take a cooler room.',
        { round: Math.round(cycle.duty * 100) },
      ),
    })
  if (cold && cycle !== null && cycle.duty < idle)
    out.push({
      about: 'room',
      says: say(
        'It cools for only {round} % of the time: the room is nearly as cold as it should be inside.',
        { round: Math.round(cycle.duty * 100) },
      ),
    })
  if (kind === 'fridge' && cycle === null && air.length > 0 && report.counted >= hours(24))
    out.push({
      about: 'cooling',
      says: say(
        'No compressor was seen to start and stop. Either it never stops, or the room does the cooling, or water and a slow probe hide it: listen to it.',
      ),
    })
  const swings = judged.map(({ about: { figures } }) =>
    figures.day === null || figures.night === null ? 0 : figures.day - figures.night,
  )
  const swing = swings.toSorted((one, other) => Math.abs(other) - Math.abs(one))[0] ?? 0
  if (Math.abs(swing) > wideDay)
    out.push({
      about: 'room',
      says:
        swing > 0
          ? say(
              'By day it is warmer than by night by {kelvin}: it follows the room. A steadier room, or more insulation and water, helps.',
              { kelvin: kelvin(swing) },
            )
          : say(
              'By day it is colder than by night by {kelvin}: it follows the room. A steadier room, or more insulation and water, helps.',
              { kelvin: kelvin(swing) },
            ),
    })
  return out
}

function doorAdvice({ report }: AdviceAsked): Advice[] {
  const slow = Math.max(0, ...report.sensors.map(({ doors }) => doors.usualRecovery ?? 0))
  if (slow <= slowRecovery) return []
  return [
    {
      about: 'door',
      says: say(
        'After a door it needs {duration} to come nearly back. Open it for seconds only; closed bottles of water keep the cold.',
        { duration: durationWords(slow) },
      ),
    },
  ]
}

function sensorAdvice({ report, judged, given }: AdviceAsked): Advice[] {
  const out: Advice[] = []
  const apart = report.agreement.find(({ agree }) => !agree)
  const nameOf = (id: string | undefined) => report.sensors.find(({ sensor }) => sensor === id)?.name ?? ''
  if (apart !== undefined)
    out.push({
      about: 'sensors',
      says: say(
        '{name} and {name2} differ by {kelvin}; ±{kelvin2} would be right. Lay both in melting ice and correct them, or say that they lie on different shelves by giving each its own box.',
        {
          name: nameOf(apart.one),
          name2: nameOf(apart.other),
          kelvin: kelvin(apart.difference),
          kelvin2: kelvin(apart.allowed),
        },
      ),
    })
  const margins = given.flatMap(({ verdict }) => verdict.marginLow ?? [])
  const loose = judged.find(({ about }) => !about.isChecked && about.expanded > unsure)
  if (loose !== undefined && (margins.length === 0 || Math.min(...margins) < 2 * loose.about.expanded))
    out.push({
      about: 'sensors',
      says: say(
        '{about} was never checked and may be off by ±{kelvin}. Check it in melting ice: the margin to frost grows.',
        { about: loose.about.name, kelvin: kelvin(loose.about.expanded) },
      ),
    })
  if (judged.length === 1)
    out.push({
      about: 'probe',
      says: say(
        'One sensor shows one spot. Put a second on the shelf nearest the back wall, or move this one there for two days.',
      ),
    })
  return out
}

function plugAdvice({ kind, report }: AdviceAsked): Advice[] {
  if ((kind !== 'fridge' && kind !== 'coldRoom') || report.lasted < longEnough) return []
  const tried = report.holdOver
  if (tried === null)
    return [
      {
        about: 'plug',
        says: say(
          'What a power failure does was not tried: while no animal is inside, pull the plug for {duration}.',
          { duration: durationWords(plugTry) },
        ),
      },
    ]
  if (tried.tau !== null || report.plugOutSince !== null) return []
  const says =
    report.room === null
      ? say(
          'A thermometer in the room around it is missing: with it, {duration} without the plug would tell how long the cold lasts.',
          { duration: durationWords(plugTry) },
        )
      : say('The plug was out for {duration}: too short to tell how long the cold lasts. Try {duration2}.', {
          duration: durationWords(tried.lasted),
          duration2: durationWords(Math.max(plugTry, 2 * tried.lasted)),
        })
  return [{ about: 'plug', says }]
}

function timeAdvice({ report }: AdviceAsked): Advice[] {
  if (report.lasted >= goodLength || !report.isRunning) return []
  return [
    { about: 'time', says: say('Let it run for a week: warm days and a weekend show what two days do not.') },
  ]
}

const hasThermostat = (kind: PlaceKind): boolean => {
  switch (kind) {
    case 'fridge':
    case 'coldRoom':
    case 'box':
    case 'enclosure':
      return true
    case 'frame':
    case 'culture':
    case 'room':
      return false
    default:
      return kind satisfies never
  }
}
