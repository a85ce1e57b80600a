import { hours, instant } from '../../schemas/amounts.ts'
import type { Trial } from '../../schemas/trial.ts'
import type { TrialAct } from '../../schemas/trial-report.ts'
import type { Instant } from '../../schemas/units.ts'
import { say, sayCount } from '../words/say.ts'

type TrialRefusal =
  | 'animalsDown'
  | 'alreadyRuns'
  | 'nothingRuns'
  | 'noSensor'
  | 'plugIsOut'
  | 'plugIsIn'
  | 'tooManyPlugs'

export type TrialMoved =
  | { readonly ok: true; readonly value: Trial | null; readonly says: string }
  | { readonly ok: false; readonly error: TrialRefusal; readonly sentence: string }

/** What an act needs to know of the place. */
export interface TrialPlace {
  readonly name: string
  readonly trial: Trial | undefined
  /** Names of animals of it, or inside it, that are cooling down, in hold or warming up. */
  readonly animalsDown: readonly string[]
  readonly hasSensor: boolean
}

/** The times with the plug out that one run keeps (schemas/trial.ts). */
const mostPlugs = 20

/** A plug that was forgotten silences nothing after this: pulled for a trial it is back within hours. Derived. */
export const longestPlugOut = hours(24)

/** What an act makes of a place's trial run, with the sentence for the journal. */
export function actOnTrial(place: TrialPlace, act: TrialAct, at: Instant, by: string): TrialMoved {
  const { name, trial } = place
  const open = trial?.plugOut.find(({ until }) => until === null)
  const isRunning = trial !== undefined && trial.until === null
  switch (act.act) {
    case 'begin':
      if (isRunning) return refused('alreadyRuns', say('A trial run of {name} goes on already.', { name }))
      if (place.animalsDown.length > 0) return refused('animalsDown', downIn(place))
      if (!place.hasSensor)
        return refused(
          'noSensor',
          say('No thermometer is in {name} or inside it: a trial run would see nothing.', { name }),
        )
      return {
        ok: true,
        value: { from: at, until: null, by, litres: act.litres, plugOut: [] },
        says: say('A trial run of {name} began{part}.', {
          name,
          part: act.litres > 0 ? say(', with {litres} L of water inside', { litres: act.litres }) : '',
        }),
      }
    case 'end':
      if (!isRunning) return refused('nothingRuns', say('No trial run of {name} goes on.', { name }))
      return {
        ok: true,
        value: { ...pluggedIn(trial, at), until: after(trial.from, at) },
        says: say('The trial run of {name} ended.', { name }),
      }
    case 'plugOut':
      if (!isRunning) return refused('nothingRuns', say('No trial run of {name} goes on.', { name }))
      if (open !== undefined) return refused('plugIsOut', say('The plug of {name} is out already.', { name }))
      if (place.animalsDown.length > 0) return refused('animalsDown', downIn(place))
      if (trial.plugOut.length >= mostPlugs)
        return refused(
          'tooManyPlugs',
          say('One trial run keeps {mostPlugs} times with the plug out.', { mostPlugs }),
        )
      return {
        ok: true,
        value: { ...trial, plugOut: [...trial.plugOut, { from: at, until: null }] },
        says: say('The plug of {name} was pulled on purpose, for its trial run.', { name }),
      }
    case 'plugIn':
      if (!isRunning) return refused('nothingRuns', say('No trial run of {name} goes on.', { name }))
      if (open === undefined) return refused('plugIsIn', say('The plug of {name} is in.', { name }))
      return { ok: true, value: pluggedIn(trial, at), says: say('The plug of {name} is in again.', { name }) }
    case 'forget':
      if (trial === undefined)
        return refused('nothingRuns', say('There is no trial run of {name}.', { name }))
      return {
        ok: true,
        value: null,
        says: say('The trial run of {name} was thrown away; its readings are kept.', { name }),
      }
    default:
      return act satisfies never
  }
}

/** Whether the keeper has its plug out on purpose at `at`, or had it so until less than `grace` ago. */
export function isPlugOut(trial: Trial | undefined, at: Instant, grace: number): boolean {
  if (trial === undefined) return false
  return trial.plugOut.some(({ from, until }) => {
    const end = Math.min(until === null ? Infinity : until + grace, from + longestPlugOut)
    return at >= from && at < end
  })
}

const downIn = ({ name, animalsDown }: TrialPlace): string =>
  sayCount(
    animalsDown.length,
    '{animalsDown} is down in {name}: a trial run is for an empty place.',
    '{animalsDown} are down in {name}: a trial run is for an empty place.',
    { animalsDown: animalsDown.join(say(' and ')), name },
  )

/** An open time with the plug out ends; a clock that was set back makes it one moment long. */
const pluggedIn = (trial: Trial, at: Instant): Trial => ({
  ...trial,
  plugOut: trial.plugOut.map((one) => (one.until === null ? { ...one, until: after(one.from, at) } : one)),
})

const after = (from: Instant, at: Instant): Instant => instant(Math.max(from + 1, at))

const refused = (error: TrialRefusal, sentence: string): TrialMoved => ({ ok: false, error, sentence })
