import type { LimitName } from '../../schemas/band.ts'
import { minutes, seconds } from '../../schemas/amounts.ts'
import type { Evidence, Figure, PhaseBand, SourcedLimit } from '../../schemas/species.ts'
import type { Millis } from '../../schemas/units.ts'

/** A figure with its source, and the other published one where sources conflict. */
type Tell = (value: number, source: string, lenient?: number) => Figure

export const read: Tell = figureOn('read')
export const secondHand: Tell = figureOn('secondHand')
export const practice: Tell = figureOn('commonPractice')
export const derived: Tell = figureOn('derived')

/** What is published for tortoises, taken over for another animal for want of a figure of its own. */
export const asForTortoises = (figure: Figure): Figure => ({
  ...figure,
  source: `Derived: as for tortoises, for want of a figure of its own (${figure.source})`,
  evidence: 'derived',
})

/**
 * A band of temperatures. Delays are design, no source: near freezing at once, confirmed by a second reading; else half
 * an hour, which outlasts an airing. Warmth that only wakes an animal may be given longer by `warmFor`.
 */
export function temperatures(
  figures: Partial<Record<LimitName, Figure>>,
  warmFor: Millis = minutes(30),
): PhaseBand {
  const names = ['lowCritical', 'low', 'high', 'highCritical'] as const satisfies readonly LimitName[]
  return {
    temperature: names.flatMap((limit): SourcedLimit[] => {
      const figure = figures[limit]
      if (figure === undefined) return []
      const isCritical = limit === 'lowCritical' || limit === 'highCritical'
      const isFrost = limit === 'lowCritical' && figure.value <= frostFrom
      return [
        {
          ...figure,
          limit,
          inclusive: true,
          for: isFrost ? seconds(60) : limit === 'highCritical' ? warmFor : minutes(30),
          priority: isCritical ? 'high' : 'medium',
          source: `${figure.source}. ${isFrost ? 'Delay derived: at once, confirmed by a second reading' : 'Delay derived'}`,
        },
      ]
    }),
    humidity: [],
  }
}

/** °C. A critical limit down to here guards against ice: a design choice, just above the 35 °F of desert tortoises. */
const frostFrom = 2

function figureOn(evidence: Evidence): Tell {
  return (value, source, lenient) => ({
    value,
    ...(lenient === undefined ? {} : { lenient }),
    source,
    evidence,
  })
}
