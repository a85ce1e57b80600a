import type { Limit } from '../../schemas/band.ts'
import { hours } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { durationWords, valueWords } from '../telling/words.ts'
import type { Leg } from '../thermal/cycle.ts'
import { driftVerdict } from '../thermal/cycle-verdict.ts'
import { contactNow } from '../thermal/door-contact.ts'
import { doorNow } from '../thermal/door.ts'
import { usualCold, usualWarm } from '../thermal/usual-cycle.ts'
import { driftLimits } from './thermal-phases.ts'
import type { ConditionName, ThermalWatch } from './thermal-state.ts'
import { inReadersDigits } from '../words/reader.ts'
import { say } from '../words/say.ts'

/** What an alarm of the curve says at its raising: a value and a threshold in °C, and one sentence. */
export interface ConditionWords {
  readonly value: number | null
  readonly threshold: number | null
  readonly text: string | null
}

export function wordsOf(
  name: ConditionName,
  thermal: ThermalWatch,
  limits: readonly (Limit | null)[],
  at: Instant,
): ConditionWords {
  const { cycle, early } = thermal
  const celsius = cycle?.state.waiting?.celsius ?? null
  const usual = cycle?.learning.usual ?? null
  const leg = cycle?.state.leg ?? null
  const lasted = leg === null ? null : durationWords(Math.max(0, at - leg.since))
  const plain = { value: celsius, threshold: null }
  switch (name) {
    case 'notCooling':
      if (usual === null || lasted === null) return { ...plain, text: null }
      return {
        ...plain,
        text: say('It has warmed for {lasted}; usually it cools again after {duration}, below {degrees}.', {
          lasted,
          duration: durationWords(usualWarm(usual)),
          degrees: degrees(usual.crest.middle),
        }),
      }
    case 'alwaysCooling':
      if (usual === null || lasted === null) return { ...plain, text: null }
      return {
        ...plain,
        text: say('It has cooled for {lasted}; usually it stops after {duration}, above {degrees}.{near}', {
          lasted,
          duration: durationWords(usualCold(usual)),
          degrees: degrees(usual.trough.middle),
          near: nearWords(leg, limits[0] ?? null),
        }),
      }
    case 'drifting': {
      const verdict = cycle === null ? null : driftVerdict(cycle.learning, { at, ...driftLimits(limits) })
      if (verdict === null) return { ...plain, text: null }
      const what =
        verdict.of === 'amplitude'
          ? say('Its swing grows')
          : verdict.perDay < 0
            ? say('It gets colder')
            : say('It gets warmer')
      const pace = say('{abs} K a day', { abs: inReadersDigits(Math.abs(verdict.perDay).toFixed(2)) })
      const given = {
        what,
        pace,
        degrees: degrees(verdict.limit),
        duration: durationWords(verdict.reachesIn),
      }
      return {
        value: verdict.celsius,
        threshold: verdict.limit,
        text: verdict.towards === 'low' ? atColdest(given) : atWarmest(given),
      }
    }
    case 'doorAjar':
      return { ...plain, text: doorWords(thermal, at) }
    case 'aheadLow':
    case 'aheadHigh':
      return { value: early?.state.lag.celsius ?? null, threshold: null, text: aheadWords(thermal, at) }
    case 'animalLow':
    case 'animalHigh':
      return {
        value: early?.state.lag.celsius ?? null,
        threshold: null,
        text: say('Reckoned from the air, by how slowly the animals here follow it.'),
      }
    default:
      return name satisfies never
  }
}

type Drift = Readonly<Record<'what' | 'pace' | 'degrees' | 'duration', string>>

const atColdest = (drift: Drift): string =>
  say('{what}, by {pace} at its coldest; at this pace it meets {degrees} in about {duration}.', drift)

const atWarmest = (drift: Drift): string =>
  say('{what}, by {pace} at its warmest; at this pace it meets {degrees} in about {duration}.', drift)

/** How long until the critical limit at the fall's mean pace; nothing where that is far. */
function nearWords(leg: Leg | null, limit: Limit | null): string {
  if (leg === null || limit === null || leg.direction !== 'falling') return ''
  const lasted = leg.extremeAt - leg.since
  const left = ((leg.extreme - limit.value) / (leg.from - leg.extreme)) * lasted
  if (!(left > 0 && left <= hours(3))) return ''
  return (
    paceMark +
    say('At this pace the air meets {degrees} in about {duration}.', {
      degrees: degrees(limit.value),
      duration: durationWords(left),
    })
  )
}

/** Sets the pace apart from what was said before it, whatever the language that a stored text is in: an en space. */
const paceMark = '\u2002'
/** Texts that were stored before there was a mark. */
const unmarkedPace = ' At this pace the air meets '

/** A text of an alarm without how long it thought that there was, for where that is known better by now. */
export function withoutPace(text: string): string {
  const [said = ''] = text.split(paceMark)
  return said.split(unmarkedPace)[0] ?? said
}

function doorWords({ door, contact }: ThermalWatch, at: Instant): string | null {
  if (contact !== null) {
    const now = contactNow(contact, at)
    return 'lasted' in now
      ? say('Its contact has said "open" for {duration}.', { duration: durationWords(now.lasted) })
      : null
  }
  const now = door === null ? null : doorNow(door, at)
  if (now?.name !== 'ajar') return null
  return say('The air jumped by {rise} K and has not come back in {duration}.', {
    rise: inReadersDigits(now.rise.toFixed(1)),
    duration: durationWords(now.lasted),
  })
}

function aheadWords({ early }: ThermalWatch, at: Instant): string {
  const ahead = early?.ahead ?? null
  if (ahead === null) return say('At the pace of the last hour it is there soon.')
  const from = durationWords(ahead.soonest - at)
  const to =
    ahead.latest === null
      ? say('{from} or later', { from })
      : say('{from} to {duration}', { from, duration: durationWords(ahead.latest - at) })
  return say('Counted from this alarm, it meets {degrees} in about {to}.', {
    degrees: degrees(ahead.celsius),
    to,
  })
}

const degrees = (celsius: number): string => valueWords('temperature', celsius)
