import type { Band, LimitName } from '../../schemas/band.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { TriedLimit, TriedPlace, WhatIfAsk, WhatIfBasis } from '../../schemas/what-if.ts'
import { instant, millis } from '../../schemas/amounts.ts'
import { limitNames } from '../../shared/judging/limit-names.ts'
import { addDays, localDate, wallInstant } from '../../shared/time/wall.ts'

/** What the limits are begun from: the plan of then, or one phase all through. */
export type Beginning = 'plan' | 'hold' | 'awake'

/** One limit as it stands in its fields. */
export interface WishRow {
  readonly value: string
  /** On-delay in minutes. */
  readonly minutes: string
}

/** What somebody wishes to try, as it stands in the form. */
export interface Wish {
  readonly beginning: Beginning
  readonly quantity: Quantity
  readonly firstDay: string
  readonly lastDay: string
  readonly rows: Readonly<Record<LimitName, WishRow>>
  readonly deadband: string
  /** Off-delay in minutes. */
  readonly clearMinutes: string
  readonly silentMinutes: string
  readonly isGuarded: boolean
  /** Whether the same is tried in what stands in the place. */
  readonly isInside: boolean
}

const minuteMs = 60_000

/** The form with the limits of today, and the cold weeks of the season. */
export function wishFrom(basis: WhatIfBasis, beginning: Beginning, quantity: Quantity): Wish {
  const band = bandOf(basis, beginning, quantity)
  const first = limitNames.flatMap((name) => band?.[name] ?? [])[0]
  const { stretch, timeZone } = basis
  const rowOf = (name: LimitName): WishRow => {
    const limit = band?.[name] ?? null
    return limit === null
      ? { value: '', minutes: '' }
      : { value: String(limit.value), minutes: String(limit.for / minuteMs) }
  }
  return {
    beginning,
    quantity,
    firstDay: stretch === null ? '' : localDate(stretch.from, timeZone),
    lastDay: stretch === null ? '' : localDate(instant(stretch.to - 1), timeZone),
    rows: {
      lowCritical: rowOf('lowCritical'),
      low: rowOf('low'),
      high: rowOf('high'),
      highCritical: rowOf('highCritical'),
    },
    deadband: first === undefined ? '' : String(first.deadband),
    clearMinutes: first === undefined ? '' : String(first.clearFor / minuteMs),
    silentMinutes: basis.silentAfter === null ? '' : String(basis.silentAfter / minuteMs),
    isGuarded: basis.isGuarded,
    isInside: true,
  }
}

/** Which beginnings there are for a place. */
export const beginningsOf = ({ bands }: WhatIfBasis): readonly Beginning[] =>
  (['plan', 'hold', 'awake'] as const).filter((one) => one === 'plan' || bands.some(({ of }) => of === one))

/**
 * What the daemon is asked: only what was changed, so that the rest follows the plan of then; of a phase all of it.
 * `inside`: what stands in the place.
 */
export function askOf(basis: WhatIfBasis, wish: Wish, inside: readonly PlaceId[]): WhatIfAsk {
  const today = wishFrom(basis, wish.beginning, wish.quantity)
  const band = bandOf(basis, wish.beginning, wish.quantity)
  const limits = limitNames.flatMap((name) => limitOf(name, wish, today, (band?.[name] ?? null) !== null))
  const silent = wish.silentMinutes === today.silentMinutes ? undefined : minutesOf(wish.silentMinutes)
  const tried: TriedPlace = {
    place: basis.place,
    limits,
    ...(wish.isGuarded === basis.isGuarded
      ? {}
      : { guard: wish.isGuarded ? ('on' as const) : ('off' as const) }),
    ...(silent === undefined ? {} : { silentAfter: silent }),
  }
  const isAsToday = limits.length === 0 && Object.keys(tried).length === 2
  const others = wish.isInside ? inside.map((place) => ({ ...tried, place })) : []
  return { place: basis.place, over: overOf(basis, wish), tried: isAsToday ? [] : [tried, ...others] }
}

/** Whether any value given is beyond today's on its side: it rings less, and later. */
export function isWider(basis: WhatIfBasis, wish: Wish): boolean {
  const band = bandOf(basis, wish.beginning, wish.quantity)
  return limitNames.some((name) => {
    const today = band?.[name] ?? null
    if (today === null) return false
    const { value, minutes } = wish.rows[name]
    if (value === '' || Number(minutes) * minuteMs > today.for) return true
    return name === 'low' || name === 'lowCritical'
      ? Number(value) < today.value
      : Number(value) > today.value
  })
}

function bandOf({ bands }: WhatIfBasis, beginning: Beginning, quantity: Quantity): Band | undefined {
  const inOrder = beginning === 'plan' ? (['hold', 'awake', 'now'] as const) : ([beginning] as const)
  return inOrder.flatMap((of) => bands.find((one) => one.of === of) ?? [])[0]?.bands[quantity]
}

function limitOf(name: LimitName, wish: Wish, today: Wish, isThere: boolean): readonly TriedLimit[] {
  const [row, was] = [wish.rows[name], today.rows[name]]
  const isAll = wish.beginning !== 'plan'
  const value = row.value === '' ? (isThere ? null : undefined) : Number(row.value)
  const delay = row.minutes === was.minutes && !isAll ? undefined : minutesOf(row.minutes)
  const clear = wish.clearMinutes === today.clearMinutes && !isAll ? undefined : minutesOf(wish.clearMinutes)
  const deadband =
    (wish.deadband === today.deadband && !isAll) || wish.deadband === '' ? undefined : Number(wish.deadband)
  const limit: TriedLimit = {
    quantity: wish.quantity,
    limit: name,
    ...((row.value === was.value && !isAll) || value === undefined ? {} : { value }),
    ...(delay === undefined ? {} : { for: delay }),
    ...(clear === undefined ? {} : { clearFor: clear }),
    ...(deadband === undefined ? {} : { deadband }),
  }
  const isNothing = Object.keys(limit).length === 2 || (row.value === '' && !isThere)
  return isNothing ? [] : [limit]
}

const minutesOf = (text: string) => (text === '' ? undefined : millis(Math.round(Number(text) * minuteMs)))

function overOf({ season, timeZone }: WhatIfBasis, { firstDay, lastDay }: Wish): WhatIfAsk['over'] {
  if (firstDay === '' || lastDay === '') return { season }
  return {
    from: wallInstant(firstDay, '00:00', timeZone),
    to: wallInstant(addDays(lastDay, 1), '00:00', timeZone),
  }
}
