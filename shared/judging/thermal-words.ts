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
        text: `It has warmed for ${lasted}; usually it cools again after ${durationWords(usualWarm(usual))}, below ${degrees(usual.crest.middle)}.`,
      }
    case 'alwaysCooling':
      if (usual === null || lasted === null) return { ...plain, text: null }
      return {
        ...plain,
        text: `It has cooled for ${lasted}; usually it stops after ${durationWords(usualCold(usual))}, above ${degrees(usual.trough.middle)}.${nearWords(leg, limits[0] ?? null)}`,
      }
    case 'drifting': {
      const verdict = cycle === null ? null : driftVerdict(cycle.learning, { at, ...driftLimits(limits) })
      if (verdict === null) return { ...plain, text: null }
      const what =
        verdict.of === 'amplitude'
          ? 'Its swing grows'
          : verdict.perDay < 0
            ? 'It gets colder'
            : 'It gets warmer'
      const pace = `${Math.abs(verdict.perDay).toFixed(2)} K a day`
      return {
        value: verdict.celsius,
        threshold: verdict.limit,
        text: `${what}, by ${pace} at its ${verdict.towards === 'low' ? 'coldest' : 'warmest'}; at this pace it meets ${degrees(verdict.limit)} in about ${durationWords(verdict.reachesIn)}.`,
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
        text: 'Reckoned from the air, by how slowly the animals here follow it.',
      }
    default:
      return name satisfies never
  }
}

/** How long until the critical limit at the fall's mean pace; nothing where that is far. */
function nearWords(leg: Leg | null, limit: Limit | null): string {
  if (leg === null || limit === null || leg.direction !== 'falling') return ''
  const lasted = leg.extremeAt - leg.since
  const left = ((leg.extreme - limit.value) / (leg.from - leg.extreme)) * lasted
  if (!(left > 0 && left <= hours(3))) return ''
  return ` At this pace the air meets ${degrees(limit.value)} in about ${durationWords(left)}.`
}

function doorWords({ door, contact }: ThermalWatch, at: Instant): string | null {
  if (contact !== null) {
    const now = contactNow(contact, at)
    return 'lasted' in now ? `Its contact has said "open" for ${durationWords(now.lasted)}.` : null
  }
  const now = door === null ? null : doorNow(door, at)
  if (now?.name !== 'ajar') return null
  return `The air jumped by ${now.rise.toFixed(1)} K and has not come back in ${durationWords(now.lasted)}.`
}

function aheadWords({ early }: ThermalWatch, at: Instant): string {
  const ahead = early?.ahead ?? null
  if (ahead === null) return 'At the pace of the last hour it is there soon.'
  const from = durationWords(ahead.soonest - at)
  const to = ahead.latest === null ? `${from} or later` : `${from} to ${durationWords(ahead.latest - at)}`
  return `Counted from this alarm, it meets ${degrees(ahead.celsius)} in about ${to}.`
}

const degrees = (celsius: number): string => valueWords('temperature', celsius)
