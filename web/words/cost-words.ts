import type { Between, PlaceCost } from '../../schemas/cost.ts'
import type { Guidance, Phase } from '../../schemas/species.ts'
import { q10Holds } from '../../shared/season/metabolic-days.ts'
import { durationWords, phaseWord } from '../../shared/telling/words.ts'
import type { CostStretch } from '../place/cost-since.ts'
import type { Told } from './thermal-words.ts'
import type { Tell } from './tell.ts'

/** Which stretch is counted: `Since cooling down began, on Fri 27 Nov at 12:00.` */
export function stretchWords({ by, from, to, phase, isOver }: CostStretch, told: Told): string {
  if (by === 'usual' || phase === null)
    return 'The last 30 days: nobody here is planned to go down this season.'
  const day = (at: number): string => told.tell.dayAt(at, told.now, told.zone)
  return isOver
    ? `From ${begun(phase)}, ${day(from)}, until they were awake, ${day(to)}.`
    : `Since ${begun(phase)}, ${day(from)}.`
}

const begun = (phase: Phase): string => `the beginning of ${phase === 'hold' ? 'the hold' : phaseWord[phase]}`

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
  if (cost.sensor === null) return ['No thermometer was ever heard here.']
  if (known === 0 || mean === null) return ['Nothing is known of these days.']
  const sentences: string[] = []
  if (about.isColdHere) sentences.push(...metabolicSentences(cost, about.guidance, tell))
  sentences.push(...warmthSentence(cost.meanKinetic, mean, tell))
  if (min !== null && max !== null)
    sentences.push(
      `Coldest ${tell.value(min.value, 'temperature')} ${tell.dayAt(min.at, now, zone)}, warmest ${tell.value(max.value, 'temperature')} ${tell.dayAt(max.at, now, zone)}.`,
    )
  if (unknown > 0)
    sentences.push(
      `For ${durationWords(unknown)} no temperature is known: they are in none of these figures.`,
    )
  if (fromHours > 0)
    sentences.push(
      `Of ${durationWords(fromHours)} only hourly figures are kept: where two figures stand, the truth lies between.`,
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
  const dayWord = (n: number): string => `${count(n)} ${count(n) === '1' ? 'day' : 'days'}`
  const cost = `${dayWord(lasted)} here cost an animal about as much as ${dayWord(days)} at ${tell.value(reference, 'temperature')} (${count(least)} to ${count(most)}).`
  const strict = guidance === 'strict' ? ` Strict guidance counts ${count(most)}.` : ''
  if (beyond === 0) return [cost + strict]
  const ends = `${tell.figure(q10Holds.from, 'temperature')} to ${tell.value(q10Holds.to, 'temperature')}`
  return [
    cost + strict,
    `That reckoning holds from ${ends}; ${durationWords(beyond)} beyond count as its ends.`,
  ]
}

function warmthSentence(kinetic: Between | null, mean: number, tell: Tell): string[] {
  if (kinetic === null) return []
  const [least, most] = [kinetic.least, kinetic.most].map((one) => tell.value(one, 'temperature'))
  const weighed = least === most ? least : `${tell.figure(kinetic.least, 'temperature')} to ${most}`
  return [
    `Mean ${tell.value(mean, 'temperature')}; weighed by what warmth does, ${weighed} (mean kinetic temperature).`,
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
    const degreeHours = least === most ? `${most}\u202fK·h` : `${least} to ${most}\u202fK·h`
    return [{ limit: name, time: durationWords(one.time), degreeHours }]
  })
}

const roughly = (kelvinHours: number): number => Number(kelvinHours.toFixed(kelvinHours < 10 ? 1 : 0))

/** Below so many days a tenth of one says something. */
const fewDays = 10
const dayMs = 86_400_000
