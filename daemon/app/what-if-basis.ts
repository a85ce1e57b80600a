import type { Animal } from '../../schemas/animal.ts'
import type { Household } from '../../schemas/household.ts'
import { Quantity } from '../../schemas/quantity.ts'
import type { WhatIfBasis } from '../../schemas/what-if.ts'
import type { Instant } from '../../schemas/units.ts'
import { bandsAt } from '../../shared/judging/band.ts'
import type { Layout, PlaceLayout } from '../../shared/judging/layout.ts'
import { seasonOf } from '../../shared/time/season.ts'
import { addDays, localDate } from '../../shared/time/wall.ts'
import type { Stretch } from '../../shared/what-if/tally.ts'
import type { seriesIn } from './what-if-run.ts'

type Stored = ReturnType<typeof seriesIn>

/** Seasons with readings, the newest first. */
export function seasonsOf(
  stored: Stored,
  zone: string,
  hemisphere: Household['hemisphere'],
): readonly string[] {
  if (stored.length === 0) return []
  const first = localDate(Math.min(...stored.map((one) => one.first)) as Instant, zone)
  const last = localDate(Math.max(...stored.map((one) => one.last)) as Instant, zone)
  const found = new Set<string>()
  for (let date = last; date > first; date = addDays(date, -180)) found.add(seasonOf(date, hemisphere))
  return [...found.add(seasonOf(first, hemisphere))].toSorted().toReversed()
}

/** From the first cooling to the last waking in that season, else whatever is stored of it. */
export function stretchToOffer(
  stored: Stored,
  whole: Stretch,
  winters: readonly { readonly from: Instant; readonly to: Instant | null }[],
  now: Instant,
): WhatIfBasis['stretch'] {
  const mine = stored.filter(({ first, last }) => first < whole.to && last >= whole.from)
  if (mine.length === 0) return null
  const known = {
    from: Math.max(whole.from, Math.min(...mine.map(({ first }) => first))) as Instant,
    to: Math.min(whole.to, Math.max(...mine.map(({ last }) => last)) + 1) as Instant,
  }
  const from = Math.max(known.from, Math.min(...winters.map((winter) => winter.from)))
  const to = Math.min(known.to, Math.max(...winters.map((winter) => winter.to ?? now)))
  const isCold = winters.length > 0 && from < to
  return isCold ? { from: from as Instant, to: to as Instant, isCold } : { ...known, isCold }
}

export const quantitiesOf = (stored: Stored): Quantity[] =>
  Quantity.options.filter((quantity) => stored.some((one) => one.quantity === quantity))

/** The limits of today, and those of a phase. */
export function bandsOf({ household }: Layout, here: PlaceLayout, now: Instant): WhatIfBasis['bands'] {
  const inPhase = (phase: 'hold' | 'awake') => {
    const plan: Animal['plan'] = [{ phase, from: 0 as Instant }]
    const tenants = here.tenants.map(({ animal, profile }) => ({ animal: { ...animal, plan }, profile }))
    return bandsAt(here.place, tenants, household.guidance, now).bands
  }
  const hasHold = here.tenants.some(({ profile }) => profile.hold !== undefined)
  return [
    ...(hasHold ? [{ of: 'hold' as const, bands: inPhase('hold') }] : []),
    ...(here.tenants.length > 0 ? [{ of: 'awake' as const, bands: inPhase('awake') }] : []),
    { of: 'now', bands: bandsAt(here.place, here.tenants, household.guidance, now).bands },
  ]
}
