import { type CalmSort } from './calm.ts'
import { winterDays } from './definitions.ts'
import type { Family } from './families.ts'
import type { JudgeName, Outcome } from './outcome.ts'

/** What one family comes to for one judge; lead times in minutes, told before harm. */
export interface FamilyFigures {
  readonly family: Family | 'all'
  readonly winters: number
  readonly harmed: number
  readonly harmedAnyway: number
  readonly counted: number
  readonly told: number
  readonly toldHigh: number
  readonly leads: readonly number[]
}

export function figuresOf(family: Family | 'all', all: readonly Outcome[], by: JudgeName): FamilyFigures {
  const own = all.filter((one) => family === 'all' || one.family === family)
  const counted = own.filter(({ isCounted }) => isCounted)
  const leads = counted.flatMap(({ harm, verdicts }) => {
    const first = verdicts[by].first
    return harm === null || first === null ? [] : [(harm.at - first.at) / 60_000]
  })
  return {
    family,
    winters: own.length,
    harmed: own.filter(({ harm, twinHarm }) => harm !== null && twinHarm === null).length,
    harmedAnyway: own.filter(({ twinHarm }) => twinHarm !== null).length,
    counted: counted.length,
    told: leads.length,
    toldHigh: counted.filter(({ verdicts }) => verdicts[by].firstHigh !== null).length,
    leads: leads.sort((one, other) => one - other),
  }
}

export interface FalseFigures {
  readonly high: number
  readonly any: number
  /** Of a winter's length, without a fault. */
  readonly winters: number
  readonly kinds: Readonly<Record<string, number>>
}

export function falseOf(all: readonly Outcome[], by: JudgeName): FalseFigures {
  const kinds: Record<string, number> = {}
  for (const { verdicts } of all)
    for (const [kind, n] of Object.entries(verdicts[by].falseKinds)) kinds[kind] = (kinds[kind] ?? 0) + n
  return {
    high: all.reduce((sum, { verdicts }) => sum + verdicts[by].falseHigh, 0),
    any: all.reduce((sum, { verdicts }) => sum + verdicts[by].falseAny, 0),
    winters: sumOf(all, 'calmDays') / winterDays,
    kinds,
  }
}

/** What the alarms counted as false were in truth. */
export interface CalmFigures {
  readonly name: string
  readonly winters: number
  readonly sorts: Readonly<Record<CalmSort, { readonly high: number; readonly any: number }>>
  readonly wrongKinds: Readonly<Record<string, number>>
}

export function calmOf(name: string, some: readonly Outcome[], by: JudgeName): CalmFigures {
  const of = (sort: CalmSort) => ({
    high: some.reduce((sum, { verdicts }) => sum + verdicts[by].calm[sort].high, 0),
    any: some.reduce((sum, { verdicts }) => sum + verdicts[by].calm[sort].any, 0),
  })
  const wrongKinds: Record<string, number> = {}
  for (const { verdicts } of some)
    for (const [kind, n] of Object.entries(verdicts[by].wrongKinds))
      wrongKinds[kind] = (wrongKinds[kind] ?? 0) + n
  return {
    name,
    winters: sumOf(some, 'calmDays') / winterDays,
    sorts: {
      airOut: of('airOut'),
      silent: of('silent'),
      open: of('open'),
      nearly: of('nearly'),
      guarded: of('guarded'),
      moved: of('moved'),
      wrong: of('wrong'),
    },
    wrongKinds,
  }
}

export const sumOf = (all: readonly Outcome[], what: 'days' | 'calmDays' | 'readings'): number =>
  all.reduce((sum, one) => sum + one[what], 0)

/** Winters that physics left time in, of which this judge said nothing. */
export const missesOf = (all: readonly Outcome[], by: JudgeName): Outcome[] =>
  all.filter(({ isCounted, verdicts }) => isCounted && verdicts[by].first === null)

/** By what the first alarm was, most frequent first. */
export function firstKinds(all: readonly Outcome[], by: JudgeName): [string, number][] {
  const counts = new Map<string, number>()
  for (const { isCounted, verdicts } of all) {
    const first = verdicts[by].first
    if (isCounted && first !== null) counts.set(first.kind, (counts.get(first.kind) ?? 0) + 1)
  }
  return [...counts].sort(([, one], [, other]) => other - one)
}

/** Nearest rank, of an ascending list. */
export function quantile(ascending: readonly number[], share: number): number | null {
  if (ascending.length === 0) return null
  return ascending[Math.max(0, Math.ceil(share * ascending.length) - 1)] ?? null
}

/** Two-sided 95 % bounds of a count, by Byar's approximation (Rothman and Boice 1979, value from memory). */
export function poissonBounds(n: number): readonly [low: number, up: number] {
  const z = 1.96
  const low = n === 0 ? 0 : n * (1 - 1 / (9 * n) - z / (3 * Math.sqrt(n))) ** 3
  const m = n + 1
  return [low, m * (1 - 1 / (9 * m) + z / (3 * Math.sqrt(m))) ** 3]
}
