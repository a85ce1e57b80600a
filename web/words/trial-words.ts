import type {
  TrialHeld,
  TrialHoldOver,
  TrialReport,
  TrialSensor,
  TrialVerdict,
} from '../../schemas/trial-report.ts'
import { durationWords } from '../../shared/telling/words.ts'
import type { Tell } from './tell.ts'
import { say } from '../../shared/words/say.ts'

export const verdictWord: Record<TrialVerdict, string> = {
  fit: say('Fit'),
  fitWithRemarks: say('Fit, with remarks'),
  notFit: say('Not fit'),
  notKnownYet: say('Not known yet'),
}

export const litresWords = (litres: number, { count }: Tell): string =>
  litres === 0
    ? say('No bottles of water were inside.')
    : say('{count} L of water in bottles were inside.', { count: count(litres) })

/** One line of facts about the place itself. */
export interface Fact {
  readonly name: string
  readonly says: readonly string[]
}

/** What the run showed of the place, besides its spots; only what is known. */
export function trialFacts(report: TrialReport, tell: Tell): readonly Fact[] {
  return [
    { name: 'Runs', says: runSentences(report, tell) },
    { name: say('Between the spots'), says: gradientSentences(report, tell) },
    { name: say('Day and night'), says: daySentences(report, tell) },
    { name: 'Doors', says: doorSentences(report, tell) },
    { name: say('Sensors in one spot'), says: agreementSentences(report, tell) },
    { name: say('Power failure'), says: holdOverSentences(report, tell) },
    { name: say('Around it'), says: roomSentences(report, tell) },
  ].filter(({ says }) => says.length > 0)
}

const nameIn = ({ sensors }: TrialReport, id: string): string =>
  sensors.find(({ sensor }) => sensor === id)?.name ?? id

function runSentences({ sensors }: TrialReport, tell: Tell): string[] {
  const air = sensors.filter(({ isAir }) => isAir)
  if (air.length === 0) return []
  const seen = air.filter(({ cycle }) => cycle !== null)
  if (seen.length === 0) return [say('No compressor was seen: no runs, or fewer than eight.')]
  return seen.map(({ name, cycle }) =>
    cycle === null
      ? ''
      : say(
          '{part} runs about every {duration}, cooling for {round} % of the time; the air swings by {difference}.',
          {
            part: seen.length > 1 ? say('{name}: it', { name }) : say('It'),
            duration: durationWords(cycle.period),
            round: Math.round(cycle.duty * 100),
            difference: tell.difference(cycle.amplitude),
          },
        ),
  )
}

function gradientSentences(report: TrialReport, tell: Tell): string[] {
  const { gradient } = report
  if (gradient === null) return []
  const { coldest, warmest, difference, allowed } = gradient
  const sure =
    difference > allowed
      ? ''
      : say(', no more than both may be off (±{difference})', { difference: tell.difference(allowed) })
  return [
    say('{nameIn} is the coldest spot, {nameIn2} the warmest: {difference} apart on average{sure}.', {
      nameIn: nameIn(report, coldest),
      nameIn2: nameIn(report, warmest),
      difference: tell.difference(difference),
      sure,
    }),
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
  if (Math.abs(most.by) < 0.1) return [say('Day and night were alike.')]
  const word = most.by >= 0 ? say('warmer') : say('colder')
  return [
    say('By day at most {difference} {word} than by night ({most}).', {
      difference: tell.difference(Math.abs(most.by)),
      word,
      most: most.name,
    }),
  ]
}

function doorSentences({ sensors }: TrialReport, tell: Tell): string[] {
  const most = sensors.toSorted((one, other) => other.doors.count - one.doors.count)[0]
  if (most === undefined || !sensors.some(({ isAir }) => isAir)) return []
  const { count, usualRecovery, longestRecovery, highestRise } = most.doors
  if (count === 0) return [say('No opening was seen.')]
  return [
    say('{part} seen{part2}.', {
      part: count === 1 ? say('One opening was') : say('{count} openings were', { count: tell.count(count) }),
      part2:
        highestRise === null
          ? ''
          : say('; the air jumped by up to {difference}', { difference: tell.difference(highestRise) }),
    }),
    ...(usualRecovery === null || longestRecovery === null
      ? []
      : [
          say('It was nearly back after {duration}{part}.', {
            duration: durationWords(usualRecovery),
            part:
              count > 1
                ? say(' as a rule, {duration} at most', { duration: durationWords(longestRecovery) })
                : '',
          }),
        ]),
  ]
}

const agreementSentences = (report: TrialReport, tell: Tell): string[] =>
  report.agreement.map(({ one, other, difference, allowed, agree }) => {
    const names = say('{nameIn} and {nameIn2}', {
      nameIn: nameIn(report, one),
      nameIn2: nameIn(report, other),
    })
    return say('{names} differ by {difference}; ±{difference2} is what both may be off: they {part}.', {
      names,
      difference: tell.difference(Math.abs(difference)),
      difference2: tell.difference(allowed),
      part: agree ? say('agree') : say('do not agree'),
    })
  })

function holdOverSentences(report: TrialReport, tell: Tell): string[] {
  const { holdOver } = report
  if (holdOver === null) return [say('Not tried: pull the plug for 4 h.')]
  return [
    say('With its plug out {nameIn} went from {value} to {value2} in {duration}.', {
      nameIn: nameIn(report, holdOver.sensor),
      value: tell.value(holdOver.from, 'temperature'),
      value2: tell.value(holdOver.to, 'temperature'),
      duration: durationWords(holdOver.lasted),
    }),
    lagSentence(holdOver, tell),
  ]
}

function lagSentence({ tau, share, room, isRoomMeasured }: TrialHoldOver, tell: Tell): string {
  if (tau === null || share === null || room === null)
    return say('That is too little to tell how long the cold lasts.')
  const around = isRoomMeasured ? say('the room was at') : say('it would have settled at')
  return say('Its time constant is {duration} ± {round} %; {around} {value}.', {
    duration: durationWords(tau),
    round: Math.round(200 * share),
    around,
    value: tell.value(room, 'temperature'),
  })
}

const roomSentences = ({ room }: TrialReport, tell: Tell): string[] =>
  room === null
    ? []
    : [
        say('{room}: {value} on average, {value2} to {value3}.', {
          room: room.name,
          value: tell.value(room.mean, 'temperature'),
          value2: tell.value(room.min, 'temperature'),
          value3: tell.value(room.max, 'temperature'),
        }),
      ]

/** How long the cold lasts for one species, a sentence for each limit. */
export function heldSentences(held: readonly TrialHeld[], tell: Tell): readonly string[] {
  return held.flatMap(({ value, seen, after, least, most, isNever }) => {
    const limit = tell.value(value, 'temperature')
    if (seen !== null)
      return [
        say('Without power it was at {limit} after {duration}.', { limit, duration: durationWords(seen) }),
      ]
    if (isNever) return [say('Without power it does not reach {limit} in that room.', { limit })]
    if (after === null || least === null || most === null) return []
    return [
      say('Without power it would be at {limit} after about {duration} ({duration2} to {duration3}).', {
        limit,
        duration: durationWords(after),
        duration2: durationWords(least),
        duration3: durationWords(most),
      }),
    ]
  })
}

export const knownShare = ({ known }: Pick<TrialSensor, 'known'>, counted: number): number =>
  counted > 0 ? Math.min(1, known / counted) : 0
