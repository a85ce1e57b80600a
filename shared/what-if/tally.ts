import type { Night } from '../../schemas/api.ts'
import type { Priority } from '../../schemas/band.ts'
import type { NightSide, Spell, WhatIfSide } from '../../schemas/what-if.ts'
import { millis } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'

export interface Stretch {
  readonly from: Instant
  readonly to: Instant
}

/** Low priority waits for the morning (A4). */
const ringsAtNight = (priority: Priority): boolean => priority !== 'low'

/** What came of some limits in a stretch. Alarms raised before it count by the time that they stood in it alone. */
export function sideOf(spells: readonly Spell[], stretch: Stretch, nights: readonly Night[]): WhatIfSide {
  const raised = spells.filter((spell) => isIn(spell.from, stretch))
  const byPriority = { low: 0, medium: 0, high: 0 }
  for (const { priority } of raised) byPriority[priority] += 1
  return {
    alarms: raised.length,
    byPriority,
    standing: millis(lengthIn(mergedOf(spells), [stretch])[0] ?? 0),
    nightsRung: nightSides(spells, nights).filter(({ rings }) => rings).length,
  }
}

/** The same for each night, which are in order and do not overlap. */
export function nightSides(spells: readonly Spell[], nights: readonly Night[]): readonly NightSide[] {
  const standing = lengthIn(mergedOf(spells), nights)
  let next = 0
  return nights.map((night, i) => {
    while ((spells[next]?.from ?? Infinity) < night.from) next++
    const first = next
    while ((spells[next]?.from ?? Infinity) < night.to) next++
    const raised = spells.slice(first, next)
    return {
      alarms: raised.length,
      gravest: gravestFirst.find((priority) => raised.some((spell) => spell.priority === priority)) ?? null,
      rings: raised.some(({ priority }) => ringsAtNight(priority)),
      standing: millis(standing[i] ?? 0),
    }
  })
}

const gravestFirst: readonly Priority[] = ['high', 'medium', 'low']

const isIn = (at: Instant, { from, to }: Stretch): boolean => at >= from && at < to

interface Interval {
  readonly from: number
  readonly to: number
}

/** When any of them stood, in order and apart. */
function mergedOf(spells: readonly Spell[]): readonly Interval[] {
  const merged: { from: number; to: number }[] = []
  for (const { from, until } of spells) {
    const to = until ?? Infinity
    const last = merged.at(-1)
    if (last !== undefined && from <= last.to) last.to = Math.max(last.to, to)
    else merged.push({ from, to })
  }
  return merged
}

/** How much of each stretch, in order and apart, the intervals fill. */
function lengthIn(intervals: readonly Interval[], stretches: readonly Stretch[]): readonly number[] {
  let first = 0
  return stretches.map(({ from, to }) => {
    while ((intervals[first]?.to ?? Infinity) <= from) first++
    let sum = 0
    for (let i = first; (intervals[i]?.from ?? Infinity) < to; i++) {
      const one = intervals[i] as Interval
      sum += Math.min(one.to, to) - Math.max(one.from, from)
    }
    return sum
  })
}
