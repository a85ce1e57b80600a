import type {
  TrialHeld,
  TrialHoldOver,
  TrialReport,
  TrialSensor,
  TrialVerdict,
} from '../../schemas/trial-report.ts'
import { durationWords } from '../../shared/telling/words.ts'
import type { Tell } from './tell.ts'

export const verdictWord: Record<TrialVerdict, string> = {
  fit: 'Fit',
  fitWithRemarks: 'Fit, with remarks',
  notFit: 'Not fit',
  notKnownYet: 'Not known yet',
}

export const litresWords = (litres: number, { count }: Tell): string =>
  litres === 0 ? 'No bottles of water were inside.' : `${count(litres)} L of water in bottles were inside.`

/** One line of facts about the place itself. */
export interface Fact {
  readonly name: string
  readonly says: readonly string[]
}

/** What the run showed of the place, besides its spots; only what is known. */
export function trialFacts(report: TrialReport, tell: Tell): readonly Fact[] {
  return [
    { name: 'Runs', says: runSentences(report, tell) },
    { name: 'Between the spots', says: gradientSentences(report, tell) },
    { name: 'Day and night', says: daySentences(report, tell) },
    { name: 'Doors', says: doorSentences(report, tell) },
    { name: 'Sensors in one spot', says: agreementSentences(report, tell) },
    { name: 'Power failure', says: holdOverSentences(report, tell) },
    { name: 'Around it', says: roomSentences(report, tell) },
  ].filter(({ says }) => says.length > 0)
}

const nameIn = ({ sensors }: TrialReport, id: string): string =>
  sensors.find(({ sensor }) => sensor === id)?.name ?? id

function runSentences({ sensors }: TrialReport, tell: Tell): string[] {
  const air = sensors.filter(({ isAir }) => isAir)
  if (air.length === 0) return []
  const seen = air.filter(({ cycle }) => cycle !== null)
  if (seen.length === 0) return ['No compressor was seen: no runs, or fewer than eight.']
  return seen.map(({ name, cycle }) =>
    cycle === null
      ? ''
      : `${seen.length > 1 ? `${name}: it` : 'It'} runs about every ${durationWords(cycle.period)}, cooling for ${Math.round(cycle.duty * 100)} % of the time; the air swings by ${tell.difference(cycle.amplitude)}.`,
  )
}

function gradientSentences(report: TrialReport, tell: Tell): string[] {
  const { gradient } = report
  if (gradient === null) return []
  const { coldest, warmest, difference, allowed } = gradient
  const sure = difference > allowed ? '' : `, no more than both may be off (±${tell.difference(allowed)})`
  return [
    `${nameIn(report, coldest)} is the coldest spot, ${nameIn(report, warmest)} the warmest: ${tell.difference(difference)} apart on average${sure}.`,
  ]
}

function daySentences({ sensors }: TrialReport, tell: Tell): string[] {
  const judged = sensors.filter(({ isJudged }) => isJudged)
  const swings = judged.flatMap(({ name, figures }) =>
    figures === null || figures.day === null || figures.night === null
      ? []
      : [{ name, by: figures.day - figures.night }],
  )
  const most = swings.toSorted((one, other) => Math.abs(other.by) - Math.abs(one.by))[0]
  if (most === undefined) return []
  if (Math.abs(most.by) < 0.1) return ['Day and night were alike.']
  const word = most.by >= 0 ? 'warmer' : 'colder'
  return [`By day at most ${tell.difference(Math.abs(most.by))} ${word} than by night (${most.name}).`]
}

function doorSentences({ sensors }: TrialReport, tell: Tell): string[] {
  const most = sensors.toSorted((one, other) => other.doors.count - one.doors.count)[0]
  if (most === undefined || !sensors.some(({ isAir }) => isAir)) return []
  const { count, usualRecovery, longestRecovery, highestRise } = most.doors
  if (count === 0) return ['No opening was seen.']
  return [
    `${count === 1 ? 'One opening was' : `${tell.count(count)} openings were`} seen${highestRise === null ? '' : `; the air jumped by up to ${tell.difference(highestRise)}`}.`,
    ...(usualRecovery === null || longestRecovery === null
      ? []
      : [
          `It was nearly back after ${durationWords(usualRecovery)}${count > 1 ? ` as a rule, ${durationWords(longestRecovery)} at most` : ''}.`,
        ]),
  ]
}

const agreementSentences = (report: TrialReport, tell: Tell): string[] =>
  report.agreement.map(({ one, other, difference, allowed, agree }) => {
    const names = `${nameIn(report, one)} and ${nameIn(report, other)}`
    return `${names} differ by ${tell.difference(Math.abs(difference))}; ±${tell.difference(allowed)} is what both may be off: they ${agree ? 'agree' : 'do not agree'}.`
  })

function holdOverSentences(report: TrialReport, tell: Tell): string[] {
  const { holdOver } = report
  if (holdOver === null) return ['Not tried: pull the plug for 4 h.']
  return [
    `With its plug out ${nameIn(report, holdOver.sensor)} went from ${tell.value(holdOver.from, 'temperature')} to ${tell.value(holdOver.to, 'temperature')} in ${durationWords(holdOver.lasted)}.`,
    lagSentence(holdOver, tell),
  ]
}

function lagSentence({ tau, share, room, isRoomMeasured }: TrialHoldOver, tell: Tell): string {
  if (tau === null || share === null || room === null)
    return 'That is too little to tell how long the cold lasts.'
  const around = isRoomMeasured ? 'the room was at' : 'it would have settled at'
  return `Its time constant is ${durationWords(tau)} ± ${Math.round(200 * share)} %; ${around} ${tell.value(room, 'temperature')}.`
}

const roomSentences = ({ room }: TrialReport, tell: Tell): string[] =>
  room === null
    ? []
    : [
        `${room.name}: ${tell.value(room.mean, 'temperature')} on average, ${tell.value(room.min, 'temperature')} to ${tell.value(room.max, 'temperature')}.`,
      ]

/** How long the cold lasts for one species, a sentence for each limit. */
export function heldSentences(held: readonly TrialHeld[], tell: Tell): readonly string[] {
  return held.flatMap(({ value, seen, after, least, most, isNever }) => {
    const limit = tell.value(value, 'temperature')
    if (seen !== null) return [`Without power it was at ${limit} after ${durationWords(seen)}.`]
    if (isNever) return [`Without power it does not reach ${limit} in that room.`]
    if (after === null || least === null || most === null) return []
    return [
      `Without power it would be at ${limit} after about ${durationWords(after)} (${durationWords(least)} to ${durationWords(most)}).`,
    ]
  })
}

export const knownShare = ({ known }: Pick<TrialSensor, 'known'>, counted: number): number =>
  counted > 0 ? Math.min(1, known / counted) : 0
