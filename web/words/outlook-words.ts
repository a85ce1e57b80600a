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
import { say } from '../../shared/words/say.ts'

type Unknown = Extract<OutlookScenario, { isKnown: false }>

/** The two things that may go wrong, a sentence or two each; where neither is known for the same reason, that is said once. */
export function outlookSentences(outlook: PlaceOutlook, told: Told): string[] {
  const { powerFails, stuckOn } = outlook
  if (!powerFails.isKnown && !stuckOn.isKnown && powerFails.why === stuckOn.why) return [powerFails.sentence]
  return [
    powerFails.isKnown
      ? powerWords(outlook, powerFails, told)
      : unknownWords(say('If the power failed'), powerFails),
    ...(outlook.holdOver === null ? [] : [holdOverWords(outlook.holdOver, told)]),
    stuckOn.isKnown
      ? scenarioWords(say('If it cooled without a stop it would'), outlook, stuckOn, told)
      : unknownWords(say('If it cooled without a stop'), stuckOn),
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
      : say(', taking the room to stay at {value} ({part})', {
          value: told.tell.value(room.celsius, 'temperature'),
          part: room.isMeasured ? say('measured') : say('assumed: no thermometer is in it'),
        })
  return scenarioWords(say('Without power it would'), outlook, powerFails, told, given)
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
  if (met.length === 0)
    return say('{opening} settle near {where} and meet no limit{given}.', { opening, where, given })
  return say('{opening} be {met}{given}.', {
    opening,
    met: met.map((one) => limitWords(one, told)).join(', and '),
    given,
  })
}

/** `too warm (8.0 °C) in about 3 h (2 h to 5 h)`. */
function limitWords({ limit, threshold, time }: OutlookLimit, { tell }: Told): string {
  const what = `${sideWords('temperature', limit)} (${tell.value(threshold, 'temperature')})`
  return time.likely === 0 ? say('{what}, as it is already', { what }) : `${what} ${timeWords(time)}`
}

/** `in about 3 h (2 h to 5 h)`; `perhaps never, in 5 h at the soonest`. */
export function timeWords({ likely, least, most }: OutlookTime): string {
  if (least === null) return say('never')
  if (likely === null) return say('perhaps never, in {about} at the soonest', { about: aboutWords(least) })
  if (most === null)
    return say('in about {about} ({about2}, or never)', {
      about: aboutWords(likely),
      about2: aboutWords(least),
    })
  return say('in about {about} ({about2} to {about3})', {
    about: aboutWords(likely),
    about2: aboutWords(least),
    about3: aboutWords(most),
  })
}

function holdOverWords(holdOver: OutlookHoldOver, { tell }: Told): string {
  const { threshold, without, withBottles, litres, areInside, isReckoned } = holdOver
  const [inside, other] = areInside ? [withBottles, without] : [without, withBottles]
  const bottles = say('{count} L of water in bottles', { count: tell.count(litres) })
  const [now, then] = areInside
    ? [say('With its {bottles}', { bottles }), say('without them')]
    : [say('Without bottles'), say('with {bottles}', { bottles })]
  const how = isReckoned
    ? say(' The second is reckoned with walls as of other fridges: a trial run tells it.')
    : say(' Both were seen in trial runs.')
  return say('{now} it would stay short of {value} for about {lasts}; {then} for about {lasts2}.{how}', {
    now,
    value: tell.value(threshold, 'temperature'),
    lasts: lastsWords(inside),
    then,
    lasts2: lastsWords(other),
    how,
  })
}

const lastsWords = ({ likely, least, most }: OutlookTime): string =>
  likely === null || least === null
    ? say('ever')
    : `${aboutWords(likely)} (${aboutWords(least)}${most === null ? say(' or more') : say(' to {about}', { about: aboutWords(most) })})`

const fromWords = (
  { stretches, lasted, newest }: NonNullable<PlaceOutlook['from']>,
  { tell, now, zone }: Told,
): string =>
  stretches === 1
    ? say('Learnt from one time without cooling, {duration} long, {dayAt}.', {
        duration: durationWords(lasted),
        dayAt: tell.dayAt(newest, now, zone),
      })
    : say('Learnt from {stretches} times without cooling, {duration} in all, the newest {dayAt}.', {
        stretches,
        duration: durationWords(lasted),
        dayAt: tell.dayAt(newest, now, zone),
      })
