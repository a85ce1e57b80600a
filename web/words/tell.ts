import { instant } from '../../schemas/amounts.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { addDays, localDate } from '../../shared/time/wall.ts'
import { say } from '../../shared/words/say.ts'

/** Numbers and times; the one place of the page where they become text. */
export interface Tell {
  /** `−0.6 °C`, `82 %RH`, `open`. */
  value(value: number, quantity: Quantity): string
  /** The same without its unit, for columns. */
  figure(value: number, quantity: Quantity): string
  /** `1,440` */
  count(value: number): string
  /** By how much warmer or colder: `1.9 °C`. Given in K, for a difference has no zero to be shifted from. */
  difference(kelvin: number): string
  /** A correction or a doubt, without its sign, finer than a value: `0.31 K`, `1.5 %RH`. */
  apart(value: number, quantity: 'temperature' | 'humidity'): string
  /** What a sensor showed, as finely: `0.31 °C`. */
  shown(value: number, quantity: 'temperature' | 'humidity'): string
  /** `812 g`, `12.5 g`, `40.25 kg`: an animal's mass, given in g; in kg from 10 kg on. */
  mass(grams: number): string
  /** `−1.4 %`; a share with one digit, its sign where it is below nothing. */
  percent(value: number): string
  /** With `places` digits after the point: `3.4`. */
  plain(value: number, places: number): string
  /** `02:14` on the clock of `zone`. */
  clock(at: number, zone: string): string
  /** `02:14` within a day of `now`, else `Tue 12 Jan, 02:14`. */
  when(at: number, now: number, zone: string): string
  /** `today at 02:14`, `yesterday at …`, `tomorrow at …`, else `on Tue 12 Jan at …`: by the calendar of `zone`. */
  dayAt(at: number, now: number, zone: string): string
  /** `Tue 12 Jan` for `2027-01-12`. */
  date(isoDate: string): string
  /** `January 2027` for `2027-01-12`. */
  month(isoDate: string): string
}

const dayMs = 86_400_000

const dayNames = [
  [0, say('today')],
  [-1, say('yesterday')],
  [1, say('tomorrow')],
] as const

const decimals: Record<Quantity, number> = {
  temperature: 1,
  humidity: 0,
  battery: 0,
  voltage: 2,
  door: 0,
  power: 0,
}

/** Where two thermometers are compared. */
const fine = { temperature: 2, humidity: 1 } as const

const units: Record<Quantity, string> = {
  temperature: '\u202f°C',
  humidity: '\u202f%RH',
  battery: '\u202f%',
  voltage: '\u202fV',
  door: '',
  power: '',
}

/** From here on nobody counts single grams, g. */
export const kilosFrom = 10_000

/** Kitchen scales show whole grams, fine ones a tenth or a hundredth: no digit is shown that was not read. */
const digitsOfGrams = (grams: number): number => {
  const hundredths = Math.round(grams * 100)
  return hundredths % 100 === 0 ? 0 : hundredths % 10 === 0 ? 1 : 2
}

/** The reader's locale decides comma or point; dates are English like every other word of the page. */
export function createTell(locale: string): Tell {
  const formats = new Map<string, Intl.DateTimeFormat>()
  const format = (name: string, options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat => {
    const known = formats.get(name)
    if (known !== undefined) return known
    const made = new Intl.DateTimeFormat('en-GB', options)
    formats.set(name, made)
    return made
  }
  const number = (value: number, places: number): string => {
    const rounded = Number(value.toFixed(places))
    return new Intl.NumberFormat(locale, { minimumFractionDigits: places, maximumFractionDigits: places })
      .format(rounded === 0 ? 0 : rounded) // no −0.0
      .replace('-', '−')
  }
  const figure = (value: number, quantity: Quantity): string => {
    if (quantity === 'door') return value >= 0.5 ? say('open') : say('closed')
    if (quantity === 'power') return value >= 0.5 ? say('present') : say('absent')
    return number(value, decimals[quantity])
  }
  const clock = (at: number, zone: string): string =>
    format(say('clock {zone}', { zone }), {
      hour: '2-digit',
      minute: '2-digit',
      hourCycle: 'h23',
      timeZone: zone,
    }).format(at)

  const dated = (at: number, zone: string): string =>
    format(say('day {zone}', { zone }), {
      weekday: 'short',
      day: 'numeric',
      month: 'short',
      timeZone: zone,
    }).format(at)

  return {
    figure,
    clock,
    value: (value, quantity) => figure(value, quantity) + units[quantity],
    count: (value) => new Intl.NumberFormat(locale).format(value),
    when: (at, now, zone) => {
      if (Math.abs(now - at) < dayMs) return clock(at, zone)
      return `${dated(at, zone)}, ${clock(at, zone)}`
    },
    apart: (value, quantity) =>
      quantity === 'temperature'
        ? `${number(Math.abs(value), fine.temperature)} K`
        : number(Math.abs(value), fine.humidity) + units.humidity,
    shown: (value, quantity) => number(value, fine[quantity]) + units[quantity],
    mass: (grams) =>
      grams >= kilosFrom
        ? say('{number} kg', { number: number(grams / 1000, 2) })
        : `${number(grams, digitsOfGrams(grams))}\u202fg`,
    percent: (value) => `${number(value, 1)}\u202f%`,
    plain: number,
    difference: (kelvin) => number(kelvin, decimals.temperature) + units.temperature,
    dayAt: (at, now, zone) => {
      const today = localDate(instant(now), zone)
      const name = dayNames.find(([off]) => localDate(instant(at), zone) === addDays(today, off))?.[1]
      return say('{part} at {clock}', { part: name ?? `on ${dated(at, zone)}`, clock: clock(at, zone) })
    },
    date: (isoDate) =>
      format('date', { weekday: 'short', day: 'numeric', month: 'short', timeZone: 'UTC' }).format(
        Date.parse(isoDate),
      ),
    month: (isoDate) =>
      format('month', { month: 'long', year: 'numeric', timeZone: 'UTC' }).format(Date.parse(isoDate)),
  }
}
