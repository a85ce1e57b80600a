import type { Spell, SpellPair, WhatIfResult } from '../../schemas/what-if.ts'
import { hours } from '../../schemas/amounts.ts'
import { isLowSide } from '../judging/limit-names.ts'

/** Apart by no more than this, an alarm that rang and one that would have are about the same danger. Derived: a fridge's hour. */
const nearby = hours(1)

/**
 * What rang beside what would have: of each alarm, in order of time, those that stand at the same time or nearly; then,
 * of what is left, a limit and its critical one on the same side.
 */
export function pairsOf(happened: readonly Spell[], would: readonly Spell[]): readonly SpellPair[] {
  const same = match(happened, would, ({ alarm }) => alarm)
  const sides = match(same.happened, same.would, sideOf)
  const alone: SpellPair[] = [
    ...sides.happened.map((spell) => ({ happened: spell, would: null })),
    ...sides.would.map((spell) => ({ happened: null, would: spell })),
  ]
  return [...same.pairs, ...sides.pairs, ...alone].toSorted((one, other) => beginOf(one) - beginOf(other))
}

/** How much sooner it would have been told, ms; negative: later; null where only one of the two tells it. */
export const soonerBy = ({ happened, would }: SpellPair): number | null =>
  happened === null || would === null ? null : happened.from - would.from

/** When the first of the two was raised. */
const beginOf = ({ happened, would }: SpellPair): number =>
  Math.min(happened?.from ?? Infinity, would?.from ?? Infinity)

export function countPairs(pairs: readonly SpellPair[]): WhatIfResult['counts'] {
  const counts = { both: 0, earlier: 0, later: 0, onlyHappened: 0, onlyWould: 0 }
  for (const pair of pairs) {
    const sooner = soonerBy(pair)
    if (sooner === null) counts[pair.happened === null ? 'onlyWould' : 'onlyHappened'] += 1
    else {
      counts.both += 1
      if (sooner > 0) counts.earlier += 1
      else if (sooner < 0) counts.later += 1
    }
  }
  return counts
}

/** At most so many, in order of time; those that do not differ are left out first. */
export function fewer(pairs: readonly SpellPair[], atMost: number): readonly SpellPair[] {
  if (pairs.length <= atMost) return pairs
  const differ = pairs.filter((pair) => soonerBy(pair) !== 0)
  const alike = pairs.filter((pair) => soonerBy(pair) === 0)
  return [...differ, ...alike].slice(0, atMost).toSorted((one, other) => beginOf(one) - beginOf(other))
}

function sideOf({ kind, place, quantity, limit }: Spell): string | null {
  if (kind !== 'limit' || limit === null) return null
  return [place, quantity, isLowSide(limit) ? 'low' : 'high'].join(' ')
}

interface Matched {
  readonly pairs: readonly SpellPair[]
  readonly happened: readonly Spell[]
  readonly would: readonly Spell[]
}

interface Waiting {
  readonly spells: Spell[]
  next: number
}

/** Both are in order of time, and each meets at most one other. */
function match(
  happened: readonly Spell[],
  would: readonly Spell[],
  keyOf: (spell: Spell) => string | null,
): Matched {
  const waiting = new Map<string, Waiting>()
  const left: { happened: Spell[]; would: Spell[] } = { happened: [], would: [] }
  for (const spell of happened) {
    const key = keyOf(spell)
    const queue = key === null ? undefined : waiting.get(key)
    if (key === null) left.happened.push(spell)
    else if (queue === undefined) waiting.set(key, { spells: [spell], next: 0 })
    else queue.spells.push(spell)
  }
  const pairs: SpellPair[] = []
  for (const spell of would) {
    const queue = waiting.get(keyOf(spell) ?? '') ?? { spells: [], next: 0 }
    let first = queue.spells[queue.next]
    while (first !== undefined && isOver(first, spell)) {
      left.happened.push(first)
      first = queue.spells[++queue.next]
    }
    if (first === undefined || isOver(spell, first)) left.would.push(spell)
    else {
      queue.next++
      pairs.push({ happened: first, would: spell })
    }
  }
  for (const { spells, next } of waiting.values()) left.happened.push(...spells.slice(next))
  const inTime = (spells: readonly Spell[]) => spells.toSorted((one, other) => one.from - other.from)
  return { pairs, happened: inTime(left.happened), would: inTime(left.would) }
}

/** Whether `one` ended well before `other` began. */
const isOver = (one: Spell, other: Spell): boolean => (one.until ?? Infinity) + nearby < other.from
