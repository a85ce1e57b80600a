import type { Between, PlaceCost } from '../../schemas/cost.ts'
import type { Guidance, Phase } from '../../schemas/species.ts'
import { q10Holds } from '../../shared/season/metabolic-days.ts'
import { durationWords, phaseWord } from '../../shared/telling/words.ts'
import type { CostStretch } from '../place/cost-since.ts'
import type { Told } from './thermal-words.ts'
import type { Tell } from './tell.ts'
import { inReadersUnits } from '../../shared/words/in-readers-units.ts'
import { say } from '../../shared/words/say.ts'

/** Which stretch is counted: `Since cooling down began, on Fri 27 Nov at 12:00.` */
export function stretchWords({ by, from, to, phase, isOver }: CostStretch, told: Told): string {
  if (by === 'usual' || phase === null)
    return say('The last 30 days: nobody here is planned to go down this season.')
  const day = (at: number): string => told.tell.dayAt(at, told.now, told.zone)
  return isOver
    ? say('From {begun}, {day}, until they were awake, {day2}.', {
        begun: begun(phase),
        day: day(from),
        day2: day(to),
      })
    : say('Since {begun}, {day}.', { begun: begun(phase), day: day(from) })
}

const begun = (phase: Phase): string =>
  say('the beginning of {part}', { part: phase === 'hold' ? say('the hold') : phaseWord[phase] })

/**
 * What the stretch did, a sentence each: how much of life it cost, how warm it was, what is not known. Metabolic days only where
 * `isColdHere`: awake animals eat.
 */
export function costSentences(
  cost: PlaceCost,
  about: { readonly guidance: Guidance; readonly isColdHere: boolean },
  told: Told,
): string[] {
  const { tell, now, zone } = told
  const { known, unknown, fromHours, mean, min, max } = cost
  if (cost.sensor === null) return [say('No thermometer was ever heard here.')]
  if (known === 0 || mean === null) return [say('Nothing is known of these days.')]
  const sentences: string[] = []
  if (about.isColdHere) sentences.push(...metabolicSentences(cost, about.guidance, tell))
  sentences.push(...warmthSentence(cost.meanKinetic, mean, tell))
  if (min !== null && max !== null)
    sentences.push(
      say('Coldest {value} {dayAt}, warmest {value2} {dayAt2}.', {
        value: tell.value(min.value, 'temperature'),
        dayAt: tell.dayAt(min.at, now, zone),
        value2: tell.value(max.value, 'temperature'),
        dayAt2: tell.dayAt(max.at, now, zone),
      }),
    )
  if (unknown > 0)
    sentences.push(
      say('For {duration} no temperature is known: they are in none of these figures.', {
        duration: durationWords(unknown),
      }),
    )
  if (fromHours > 0)
    sentences.push(
      say('Of {duration} only hourly figures are kept: where two figures stand, the truth lies between.', {
        duration: durationWords(fromHours),
      }),
    )
  return sentences
}

/** `61 days here cost an animal about as much as 55 days at 5.0 °C (48 to 60).` */
function metabolicSentences(
  { known, metabolicDays: { days, least, most, reference, beyond } }: PlaceCost,
  guidance: Guidance,
  tell: Tell,
): string[] {
  const lasted = known / dayMs
  const count = (n: number): string => tell.count(lasted < fewDays ? Number(n.toFixed(1)) : Math.round(n))
  const dayWord = (n: number): string => `${count(n)} ${count(n) === '1' ? say('day') : say('days')}`
  const cost = say(
    '{dayWord} here cost an animal about as much as {dayWord2} at {value} ({count} to {count2}).',
    {
      dayWord: dayWord(lasted),
      dayWord2: dayWord(days),
      value: tell.value(reference, 'temperature'),
      count: count(least),
      count2: count(most),
    },
  )
  const strict = guidance === 'strict' ? say(' Strict guidance counts {count}.', { count: count(most) }) : ''
  if (beyond === 0) return [cost + strict]
  const ends = say('{figure} to {value}', {
    figure: tell.figure(q10Holds.from, 'temperature'),
    value: tell.value(q10Holds.to, 'temperature'),
  })
  return [
    cost + strict,
    say('That reckoning holds from {ends}; {duration} beyond count as its ends.', {
      ends,
      duration: durationWords(beyond),
    }),
  ]
}

function warmthSentence(kinetic: Between | null, mean: number, tell: Tell): string[] {
  if (kinetic === null) return []
  const [least, most] = [kinetic.least, kinetic.most].map((one) => tell.value(one, 'temperature'))
  const weighed =
    least === most
      ? least
      : say('{figure} to {most}', { figure: tell.figure(kinetic.least, 'temperature'), most })
  return [
    say('Mean {value}; weighed by what warmth does, {weighed} (mean kinetic temperature).', {
      value: tell.value(mean, 'temperature'),
      weighed,
    }),
  ]
}

/** One limit that was passed. */
export interface BeyondRow {
  readonly limit: PlaceCost['beyond'][number]['limit']
  readonly time: string
  readonly degreeHours: string
}

/** Time and degree-hours out of each limit that was passed, gravest first. */
export function beyondRows({ beyond }: PlaceCost, tell: Tell): BeyondRow[] {
  return (['lowCritical', 'highCritical', 'low', 'high'] as const).flatMap((name) => {
    const one = beyond.find(({ limit, time }) => limit === name && time > 0)
    if (one === undefined) return []
    const [least, most] = [one.degreeHours.least, one.degreeHours.most].map((kh) => tell.count(roughly(kh)))
    const degreeHours = inReadersUnits(
      least === most ? `${most}\u202fK·h` : say('{least} to {most} K·h', { least, most }),
    )
    return [{ limit: name, time: durationWords(one.time), degreeHours }]
  })
}

const roughly = (kelvinHours: number): number => Number(kelvinHours.toFixed(kelvinHours < 10 ? 1 : 0))

/** Below so many days a tenth of one says something. */
const fewDays = 10
const dayMs = 86_400_000
