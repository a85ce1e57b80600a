import { instant } from '../../schemas/amounts.ts'
import type { ThermalNow } from '../../schemas/api.ts'
import { durationWords, sideWords } from '../../shared/telling/words.ts'
import { enoughCycles } from '../../shared/thermal/usual-cycle.ts'
import { localDate } from '../../shared/time/wall.ts'
import type { Tell } from './tell.ts'
import { say } from '../../shared/words/say.ts'

/** An opening of a door as its line in the journal tells it. */
export interface Opening {
  readonly at: number
  readonly until?: number | undefined
  /** K. */
  readonly rise?: number | undefined
  /** ms. */
  readonly recovery?: number | undefined
}

/** Times are told as of `now`, on the clock of `zone`. */
export interface Told {
  readonly tell: Tell
  readonly now: number
  readonly zone: string
}

/** What the curve says, a sentence each, in the order of what can wait least; only what is known. */
export function curveSentences(thermal: ThermalNow, openings: readonly Opening[], told: Told): string[] {
  const { outlook, door, animal, cycle } = thermal
  return [
    outlook && outlookWords(outlook, told),
    door && doorWords(door, openings, told),
    animal && animalWords(animal, told),
    cycle && cycleWords(cycle, told),
  ].filter((sentence) => sentence !== undefined && sentence !== null)
}

/** How the fridge breathes, or how far it is known. */
export function cycleWords(cycle: NonNullable<ThermalNow['cycle']>, { tell }: Told): string | null {
  if (!cycle.isLearnt)
    return say('How it cools is not known yet: {min} of {enoughCycles} runs seen.', {
      min: Math.min(cycle.seen, enoughCycles),
      enoughCycles,
    })
  const { period, duty, amplitude, mean } = cycle
  if (period === null || duty === null || amplitude === null || mean === null) return null
  const swing = say('the air swings by {difference} round {value}', {
    difference: tell.difference(amplitude),
    value: tell.value(mean, 'temperature'),
  })
  return say('It runs about every {minutes}, cooling for {share} of the time; {swing}.', {
    minutes: minutesWords(period),
    share: shareWords(duty),
    swing,
  })
}

/** How the door stands, and when it was last opened. */
export function doorWords(
  door: NonNullable<ThermalNow['door']>,
  openings: readonly Opening[],
  { tell, now, zone }: Told,
): string | null {
  const day = (at: number): string => tell.dayAt(at, now, zone)
  switch (door.standing) {
    case 'shut': {
      const at = door.lastOpenedAt ?? openings[0]?.at ?? null
      if (at === null) return null
      const recovery = openings.find((one) => Math.abs(one.at - at) < sameWithinMs)?.recovery
      const back =
        recovery === undefined
          ? ''
          : say('; the air was nearly back after {duration}', { duration: durationWords(recovery) })
      return say('The door was last opened {day}{back}.', { day: day(at), back })
    }
    case 'open':
      return door.since === null
        ? say('The door is open.')
        : say('The door was opened {day}.', { day: day(door.since) })
    case 'recovering':
      return door.since === null
        ? say('The door was opened; the air is not back yet.')
        : say('The door was opened {day}; the air is on its way back.', { day: day(door.since) })
    case 'ajar':
      return door.since === null
        ? say('The door seems to stand ajar.')
        : say('The door seems to have stood ajar since {day}.', { day: day(door.since) })
    default:
      return door.standing satisfies never
  }
}

/** What follows the air, estimated. */
export function animalWords(
  { celsius, isSettled }: NonNullable<ThermalNow['animal']>,
  { tell }: Told,
): string {
  return isSettled
    ? say('The animal’s side follows the air: about {value} now, estimated.', {
        value: tell.value(celsius, 'temperature'),
      })
    : say('The animal’s side follows the air; its estimate is still settling.')
}

/** When the trend meets a critical limit. A day is named once where all three fall on it, and not at all today. */
export function outlookWords(
  { limit, celsius, soonest, likely, latest }: NonNullable<ThermalNow['outlook']>,
  { tell, now, zone }: Told,
): string {
  const dayOf = (at: number): string => localDate(instant(at), zone)
  const days = new Set([likely, soonest, ...(latest === null ? [] : [latest])].map(dayOf))
  const isOneDay = days.size === 1
  const moment = (at: number): string => (isOneDay ? tell.clock(at, zone) : tell.dayAt(at, now, zone))
  const first =
    isOneDay && days.has(dayOf(now))
      ? say('at about {moment}', { moment: moment(likely) })
      : say('{day} at about {clock}', {
          day: tell.dayName(likely, now, zone),
          clock: tell.clock(likely, zone),
        })
  const range =
    latest === null
      ? say('not before {moment} and perhaps never', { moment: moment(soonest) })
      : say('between {moment} and {moment2}', { moment: moment(soonest), moment2: moment(latest) })
  const goal = `${tell.value(celsius, 'temperature')} (${sideWords('temperature', limit)})`
  return say('If it goes on like this it reaches {goal} {first}, {range}.', { goal, first, range })
}

/** A contact and the air tell of one opening a little apart; derived: no door is aired twice in so short a time. */
const sameWithinMs = 5 * 60_000

/** `42 minutes`; from two hours on in hours. */
function minutesWords(ms: number): string {
  const minutes = Math.max(1, Math.round(ms / 60_000))
  if (minutes >= 120) return durationWords(ms)
  return minutes === 1 ? say('minute') : say('{minutes} minutes', { minutes })
}

/** Shares as people say them; the nearest is taken. */
const shares = [
  [1 / 10, say('a tenth')],
  [1 / 5, say('a fifth')],
  [1 / 4, say('a quarter')],
  [1 / 3, say('a third')],
  [2 / 5, say('two fifths')],
  [1 / 2, say('half')],
  [3 / 5, say('three fifths')],
  [2 / 3, say('two thirds')],
  [3 / 4, say('three quarters')],
  [4 / 5, say('four fifths')],
] as const

/** Above it no fraction is near: derived, halfway from four fifths to the whole. */
const nearlyWhole = 0.9

function shareWords(share: number): string {
  if (share < shares[0][0] / 2) return say('less than a tenth')
  if (share > nearlyWhole) return say('nearly all')
  return shares.reduce((best, one) => (Math.abs(one[0] - share) < Math.abs(best[0] - share) ? one : best))[1]
}
