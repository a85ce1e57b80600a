import { instant } from '../../schemas/amounts.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { addDays, localDate } from '../../shared/time/wall.ts'
import { clockOptions, dateFormat, fahrenheit, fahrenheitApart, reader } from '../../shared/words/reader.ts'
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
  /** The same without its unit, for columns. */
  apartFigure(kelvin: number): string
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
  /** `02:14` on the clock of `zone`; `2:14 AM`. */
  clock(at: number, zone: string): string
  /** A full hour, as short as it can be told: `02:00`, `2 AM`. */
  hour(at: number, zone: string): string
  /** `02:14` within a day of `now`, else `Tue 12 Jan, 02:14`. */
  when(at: number, now: number, zone: string): string
  /** `today at 02:14`, `yesterday at …`, `tomorrow at …`, else `on Tue 12 Jan at …`: by the calendar of `zone`. */
  dayAt(at: number, now: number, zone: string): string
  /** The same to stand by itself: `Tue 12 Jan at 02:14`. */
  stamp(at: number, now: number, zone: string): string
  /** `today`, `on Tue 12 Jan`. */
  dayName(at: number, now: number, zone: string): string
  /** `12 Jan` */
  short(at: number, zone: string): string
  /** `Tue 12 Jan` for `2027-01-12`. */
  date(isoDate: string): string
  /** `Tue 12` for `2027-01-12`, within its month. */
  weekday(isoDate: string): string
  /** `12 Jan 2027`: where years are apart. */
  day(at: number, zone: string): string
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

const units: Record<Exclude<Quantity, 'temperature'>, string> = {
  humidity: '\u202f%RH',
  battery: '\u202f%',
  voltage: '\u202fV',
  door: '',
  power: '',
}

/** From here on nobody counts single grams, g. */
export const kilosFrom = 10_000

const degrees = (): string => (reader().units === 'fahrenheit' ? '\u202f°F' : '\u202f°C')
const inUnits = (celsius: number): number => (reader().units === 'fahrenheit' ? fahrenheit(celsius) : celsius)

/** Kitchen scales show whole grams, fine ones a tenth or a hundredth: no digit is shown that was not read. */
const digitsOfGrams = (grams: number): number => {
  const hundredths = Math.round(grams * 100)
  return hundredths % 100 === 0 ? 0 : hundredths % 10 === 0 ? 1 : 2
}

/** By the reader in force when it tells: `locale` writes the numbers, the language of the page names days and months. */
export function createTell(locale: string = reader().locale): Tell {
  const format = (options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat => dateFormat(options, locale)
  const number = (value: number, places: number): string => {
    const rounded = Number(value.toFixed(places))
    return new Intl.NumberFormat(locale, { minimumFractionDigits: places, maximumFractionDigits: places })
      .format(rounded === 0 ? 0 : rounded) // no −0.0
      .replace('-', '−')
  }
  const figure = (value: number, quantity: Quantity): string => {
    if (quantity === 'door') return value >= 0.5 ? say('open') : say('closed')
    if (quantity === 'power') return value >= 0.5 ? say('present') : say('absent')
    return number(quantity === 'temperature' ? inUnits(value) : value, decimals[quantity])
  }
  const apartFigure = (kelvin: number): string =>
    number(reader().units === 'fahrenheit' ? fahrenheitApart(kelvin) : kelvin, decimals.temperature)
  const unit = (quantity: Quantity): string => (quantity === 'temperature' ? degrees() : units[quantity])
  const clock = (at: number, zone: string): string =>
    format({ ...clockOptions(), timeZone: zone })
      .format(at)
      .replace(' ', '\u202f')

  const dated = (at: number, zone: string): string =>
    format({ weekday: 'short', day: 'numeric', month: 'short', timeZone: zone }).format(at)

  const near = (at: number, now: number, zone: string): string | undefined => {
    const today = localDate(instant(now), zone)
    return dayNames.find(([off]) => localDate(instant(at), zone) === addDays(today, off))?.[1]
  }

  return {
    figure,
    clock,
    hour: (at, zone) =>
      reader().hours === 'h23' ? clock(at, zone) : clock(at, zone).replace(/:00(?=\D|$)/, ''),
    value: (value, quantity) => figure(value, quantity) + unit(quantity),
    count: (value) => new Intl.NumberFormat(locale).format(value),
    when: (at, now, zone) => {
      if (Math.abs(now - at) < dayMs) return clock(at, zone)
      return `${dated(at, zone)}, ${clock(at, zone)}`
    },
    apart: (value, quantity) =>
      quantity === 'temperature'
        ? reader().units === 'fahrenheit'
          ? number(fahrenheitApart(Math.abs(value)), fine.temperature) + degrees()
          : `${number(Math.abs(value), fine.temperature)} K`
        : number(Math.abs(value), fine.humidity) + units.humidity,
    shown: (value, quantity) =>
      number(quantity === 'temperature' ? inUnits(value) : value, fine[quantity]) + unit(quantity),
    mass: (grams) =>
      grams >= kilosFrom
        ? say('{number} kg', { number: number(grams / 1000, 2) })
        : `${number(grams, digitsOfGrams(grams))}\u202fg`,
    percent: (value) => `${number(value, 1)}\u202f%`,
    plain: number,
    apartFigure,
    difference: (kelvin) => apartFigure(kelvin) + degrees(),
    short: (at, zone) => format({ day: 'numeric', month: 'short', timeZone: zone }).format(at),
    dayName: (at, now, zone) => near(at, now, zone) ?? say('on {date}', { date: dated(at, zone) }),
    stamp: (at, now, zone) =>
      say('{day} at {clock}', { day: near(at, now, zone) ?? dated(at, zone), clock: clock(at, zone) }),
    dayAt: (at, now, zone) => {
      const name = near(at, now, zone)
      return name === undefined
        ? say('on {date} at {clock}', { date: dated(at, zone), clock: clock(at, zone) })
        : say('{day} at {clock}', { day: name, clock: clock(at, zone) })
    },
    date: (isoDate) =>
      format({ weekday: 'short', day: 'numeric', month: 'short', timeZone: 'UTC' }).format(
        Date.parse(isoDate),
      ),
    weekday: (isoDate) =>
      format({ weekday: 'short', day: 'numeric', timeZone: 'UTC' }).format(Date.parse(isoDate)),
    day: (at, zone) => format({ day: 'numeric', month: 'short', year: 'numeric', timeZone: zone }).format(at),
    month: (isoDate) =>
      format({ month: 'long', year: 'numeric', timeZone: 'UTC' }).format(Date.parse(isoDate)),
  }
}
