import type { NightSummary, Winter } from '../../schemas/api.ts'
import type { Priority } from '../../schemas/band.ts'
import { daysBetween } from '../../shared/time/wall.ts'
import { worstOf } from '../words/worst-of.ts'

const hourMs = 3_600_000

/** One night as a column of the strip. */
export interface StripNight {
  readonly date: string
  /** Where it stands among the days of any season: whole days since its first, on a calendar that has a 29 February. */
  readonly day: number
  readonly night: NightSummary
  /** A letter an hour, as the daemon gives them. */
  readonly hours: string
  readonly low: readonly (number | null)[]
  readonly high: readonly (number | null)[]
  /** Of the alarms raised in this night. */
  readonly priorities: readonly Priority[]
  readonly worst: Priority | null
  readonly opened: number
  /** Hours in which nothing was heard. */
  readonly blank: number
}

/** The nights that were watched, oldest first, from the first with a reading until now. */
export function stripNights(winter: Winter, now: number): StripNight[] {
  const { hours, low, high, raised, opened } = winter.strip
  const heard = winter.nights.filter((night) => night.readings > 0)
  const first = Math.min(...heard.map((night) => night.from))
  return winter.nights
    .map((night, i): StripNight => {
      const within = (at: number): boolean => at >= night.from && at < night.to
      const here = raised.filter(({ at }) => within(at))
      const letters = hours[i] ?? ''
      // Tonight's hours to come are no silence
      const past = Math.ceil((Math.min(now, night.to) - night.from) / hourMs)
      return {
        date: night.date,
        day: dayOfSeason(night.date, winter.season),
        night,
        hours: letters.slice(0, past),
        low: low[i] ?? [],
        high: high[i] ?? [],
        priorities: order.filter((priority) => here.some((one) => one.priority === priority)),
        worst: worstOf(here),
        opened: opened.filter(within).length,
        blank: [...letters.slice(0, past)].filter((letter) => letter === '.').length,
      }
    })
    .filter(({ night }) => night.from >= first && night.from <= now)
    .sort((one, other) => one.night.from - other.night.from)
}

const order: readonly Priority[] = ['high', 'medium', 'low']

/** Seasons are laid over each other by the date, so that 1 March stands under 1 March in a leap year too. */
export function dayOfSeason(date: string, season: string): number {
  const isNorth = season.includes('/')
  const monthDay = date.slice(4)
  const leap = 2024
  const begins = isNorth ? `${leap - 1}-07-01` : `${leap}-01-01`
  const year = isNorth && Number(date.slice(5, 7)) >= 7 ? leap - 1 : leap
  return daysBetween(begins, `${year}${monthDay}`)
}

/** One column of each season that has that day. */
export const nightOn = (nights: readonly StripNight[], day: number): StripNight | null =>
  nights.find((one) => one.day === day) ?? null

/** Where a key leads from one night; null where it leads nowhere. Down a list whose newest comes first is back in time. */
export function nightByKey(
  nights: readonly StripNight[],
  day: number,
  key: string,
  isNewestFirst: boolean,
): StripNight | null {
  const down = isNewestFirst ? -1 : 1
  const steps: Readonly<Record<string, number>> = {
    ArrowLeft: -1,
    ArrowRight: 1,
    ArrowUp: -down,
    ArrowDown: down,
    PageUp: -7 * down,
    PageDown: 7 * down,
    Home: isNewestFirst ? Infinity : -Infinity,
    End: isNewestFirst ? -Infinity : Infinity,
  }
  const step = steps[key]
  if (step === undefined || nights.length === 0) return null
  const last = nights.length - 1
  const from = nights.findIndex((one) => one.day >= day)
  const to = Math.min(last, Math.max(0, (from === -1 ? last : from) + step))
  return nights[to] ?? null
}

/** A reading's figures over a season, for the numbers beside each other. */
export interface WinterNumbers {
  readonly watched: number
  readonly coldest: { readonly value: number; readonly date: string } | null
  readonly warmest: { readonly value: number; readonly date: string } | null
  readonly below: number
  readonly above: number
  readonly unknown: number
  readonly alarmed: number
  readonly alarms: number
  readonly alarmsByDay: number
  readonly gaps: number
  readonly opened: number
}

/** What a season comes to. Times in ms. */
export function numbersOf(winter: Winter, now: number): WinterNumbers {
  const nights = stripNights(winter, now)
  const heard = nights.filter(({ night }) => night.readings > 0)
  const sum = (of: (night: NightSummary) => number): number =>
    nights.reduce((total, { night }) => total + of(night), 0)
  const alarms = sum((night) => night.alarms)
  const days = winter.strip.raised.length
  return {
    watched: heard.length,
    coldest: extreme(heard, (night) => night.min, -1),
    warmest: extreme(heard, (night) => night.max, 1),
    below: sum((night) => night.below),
    above: sum((night) => night.above),
    unknown: sum(({ unknown, to }) => Math.max(0, unknown - Math.max(0, to - now))),
    alarmed: nights.filter(({ night }) => night.alarms > 0).length,
    alarms,
    alarmsByDay: Math.max(0, days - alarms),
    gaps: winter.strip.gaps,
    opened: winter.strip.opened.length,
  }
}

function extreme(
  nights: readonly StripNight[],
  of: (night: NightSummary) => number | null,
  sign: 1 | -1,
): { value: number; date: string } | null {
  let found: { value: number; date: string } | null = null
  for (const { night } of nights) {
    const value = of(night)
    if (value !== null && (found === null || (value - found.value) * sign > 0))
      found = { value, date: night.date }
  }
  return found
}
