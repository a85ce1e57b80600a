import type {
  OutlookHoldOver,
  OutlookLimit,
  OutlookScenario,
  OutlookTime,
  PlaceOutlook,
} from '../../schemas/outlook.ts'
import { aboutWords } from '../../shared/telling/stays-so.ts'
import { durationWords, sideWords } from '../../shared/telling/words.ts'
import type { Told } from './thermal-words.ts'

type Unknown = Extract<OutlookScenario, { isKnown: false }>

/** The two things that may go wrong, a sentence or two each; where neither is known for the same reason, that is said once. */
export function outlookSentences(outlook: PlaceOutlook, told: Told): string[] {
  const { powerFails, stuckOn } = outlook
  if (!powerFails.isKnown && !stuckOn.isKnown && powerFails.why === stuckOn.why) return [powerFails.sentence]
  return [
    powerFails.isKnown
      ? powerWords(outlook, powerFails, told)
      : unknownWords('If the power failed', powerFails),
    ...(outlook.holdOver === null ? [] : [holdOverWords(outlook.holdOver, told)]),
    stuckOn.isKnown
      ? scenarioWords('If it cooled without a stop it would', outlook, stuckOn, told)
      : unknownWords('If it cooled without a stop', stuckOn),
    ...(outlook.from === null ? [] : [fromWords(outlook.from, told)]),
  ]
}

/** `If it cooled without a stop: not known yet: …` */
const unknownWords = (what: string, { sentence }: Unknown): string =>
  `${what}: ${sentence.slice(0, 1).toLowerCase()}${sentence.slice(1)}`

function powerWords(
  outlook: PlaceOutlook,
  powerFails: Extract<OutlookScenario, { isKnown: true }>,
  told: Told,
): string {
  const { room } = outlook
  const given =
    room === null
      ? ''
      : `, taking the room to stay at ${told.tell.value(room.celsius, 'temperature')} (${room.isMeasured ? 'measured' : 'assumed: no thermometer is in it'})`
  return scenarioWords('Without power it would', outlook, powerFails, told, given)
}

function scenarioWords(
  opening: string,
  { now }: PlaceOutlook,
  { towards, limits }: Extract<OutlookScenario, { isKnown: true }>,
  told: Told,
  given = '',
): string {
  const isTowardsLow = now !== null && towards.celsius < now.celsius
  const ahead = limits
    .filter(({ limit }) => (limit === 'low' || limit === 'lowCritical') === isTowardsLow)
    .toSorted(
      (one, other) => Math.abs(one.threshold - towards.celsius) - Math.abs(other.threshold - towards.celsius),
    )
    .reverse()
  const met = ahead.filter(({ time }) => time.least !== null)
  const where = told.tell.value(towards.celsius, 'temperature')
  if (met.length === 0) return `${opening} settle near ${where} and meet no limit${given}.`
  return `${opening} be ${met.map((one) => limitWords(one, told)).join(', and ')}${given}.`
}

/** `too warm (8.0 °C) in about 3 h (2 h to 5 h)`. */
function limitWords({ limit, threshold, time }: OutlookLimit, { tell }: Told): string {
  const what = `${sideWords('temperature', limit)} (${tell.value(threshold, 'temperature')})`
  return time.likely === 0 ? `${what}, as it is already` : `${what} ${timeWords(time)}`
}

/** `in about 3 h (2 h to 5 h)`; `perhaps never, in 5 h at the soonest`. */
export function timeWords({ likely, least, most }: OutlookTime): string {
  if (least === null) return 'never'
  if (likely === null) return `perhaps never, in ${aboutWords(least)} at the soonest`
  if (most === null) return `in about ${aboutWords(likely)} (${aboutWords(least)}, or never)`
  return `in about ${aboutWords(likely)} (${aboutWords(least)} to ${aboutWords(most)})`
}

function holdOverWords(holdOver: OutlookHoldOver, { tell }: Told): string {
  const { threshold, without, withBottles, litres, areInside, isReckoned } = holdOver
  const [inside, other] = areInside ? [withBottles, without] : [without, withBottles]
  const bottles = `${tell.count(litres)}\u00a0L of water in bottles`
  const [now, then] = areInside
    ? [`With its ${bottles}`, 'without them']
    : ['Without bottles', `with ${bottles}`]
  const how = isReckoned
    ? ' The second is reckoned with walls as of other fridges: a trial run tells it.'
    : ' Both were seen in trial runs.'
  return `${now} it would stay short of ${tell.value(threshold, 'temperature')} for about ${lastsWords(inside)}; ${then} for about ${lastsWords(other)}.${how}`
}

const lastsWords = ({ likely, least, most }: OutlookTime): string =>
  likely === null || least === null
    ? 'ever'
    : `${aboutWords(likely)} (${aboutWords(least)}${most === null ? ' or more' : ` to ${aboutWords(most)}`})`

const fromWords = (
  { stretches, lasted, newest }: NonNullable<PlaceOutlook['from']>,
  { tell, now, zone }: Told,
): string =>
  stretches === 1
    ? `Learnt from one time without cooling, ${durationWords(lasted)} long, ${tell.dayAt(newest, now, zone)}.`
    : `Learnt from ${stretches} times without cooling, ${durationWords(lasted)} in all, the newest ${tell.dayAt(newest, now, zone)}.`
