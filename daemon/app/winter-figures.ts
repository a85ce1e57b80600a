import type { WinterFigures } from '../../schemas/animal-report.ts'
import type { MassNow } from '../../schemas/condition.ts'
import type { PlaceCost } from '../../schemas/cost.ts'
import type { ColdWinter } from '../../shared/animals/winters.ts'
import { daysBetween, localDate } from '../../shared/time/wall.ts'
import { millis } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'

/** What one winter is compared by. */
export function figuresOf(
  winter: ColdWinter,
  known: {
    readonly cost: PlaceCost | null
    readonly mass: MassNow | null
    readonly alarms: number
    readonly now: Instant
    readonly timeZone: string
  },
): WinterFigures {
  const { cost, mass } = known
  const to = winter.to ?? known.now
  const beyond = (limit: 'low' | 'lowCritical' | 'high' | 'highCritical'): number =>
    cost?.beyond.find((one) => one.limit === limit)?.time ?? 0
  // The time beyond a critical limit is in that beyond the lesser one, where there is a lesser one
  const out =
    Math.max(beyond('low'), beyond('lowCritical')) + Math.max(beyond('high'), beyond('highCritical'))
  return {
    season: winter.season,
    from: winter.from,
    to,
    isOver: winter.to !== null,
    coldDays: Math.max(0, daysBetween(localDate(winter.from, known.timeZone), localDate(to, known.timeZone))),
    lostPercent: mass?.lostPercent ?? null,
    coldest: cost?.min ?? null,
    warmest: cost?.max ?? null,
    outOfBand: cost === null || cost.known === 0 ? null : millis(Math.round(out)),
    unknown: cost?.unknown ?? millis(Math.max(0, to - winter.from)),
    meanKinetic: cost?.meanKinetic ?? null,
    alarms: known.alarms,
  }
}
