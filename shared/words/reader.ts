import { spokenLanguage } from './say.ts'

export type Units = 'celsius' | 'fahrenheit'

/** As CLDR names them: 00 to 23, or 12, 1 to 11 with am and pm. */
export type Hours = 'h23' | 'h12'

/** How who reads this writes numbers and times. Nothing that is decided or stored goes by it. */
export interface Reader {
  readonly units: Units
  readonly hours: Hours
  /** As BCP 47 names it: its region orders the parts of a date, the whole of it writes numbers. */
  readonly locale: string
}

const usual: Reader = { units: 'celsius', hours: 'h23', locale: 'en-GB' }

let current = usual

/**
 * Changes whom this process or page writes for. Not an argument for the reason that the language is none: it would go
 * through every function that makes a sentence, and decides nothing.
 */
export function readAs(next: Reader): void {
  current = next
}

export const reader = (): Reader => current

/** The language spoken with the region of `locale`: months and days in the words of the page, in the reader's order. */
export function dateLocale(locale: string = current.locale): string {
  const { region } = new Intl.Locale(locale)
  if (region !== undefined) return `${spokenLanguage()}-${region}`
  return spokenLanguage() === 'en' ? usual.locale : spokenLanguage()
}

const formats = new Map<string, Intl.DateTimeFormat>()

/** Dates and times by `dateLocale`; each is made once, for making one takes longer than a hundred uses. */
export function dateFormat(options: Intl.DateTimeFormatOptions, locale?: string): Intl.DateTimeFormat {
  const by = dateLocale(locale)
  const name = by + JSON.stringify(options)
  const known = formats.get(name)
  if (known !== undefined) return known
  const made = new Intl.DateTimeFormat(by, options)
  formats.set(name, made)
  return made
}

/** `14:05`, `2:05 PM`, which no line breaks. */
export const clockOf = (at: number, timeZone: string): string =>
  dateFormat({ timeZone, ...clockOptions() })
    .format(at)
    .replace(' ', '\u202f')

/** As options of `Intl.DateTimeFormat`. */
export const clockOptions = (hours: Hours = current.hours): Intl.DateTimeFormatOptions =>
  hours === 'h23'
    ? { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' }
    : { hour: 'numeric', minute: '2-digit', hourCycle: 'h12' }

/** A number as `toFixed` writes it, with the reader's own point or comma and a true minus. */
export const inReadersDigits = (figure: string): string =>
  figure.replace('-', '−').replace('.', decimalPoint(current.locale))

const points = new Map<string, string>()

function decimalPoint(locale: string): string {
  const known = points.get(locale)
  if (known !== undefined) return known
  const parts = new Intl.NumberFormat(locale).formatToParts(0.5)
  const point = parts.find(({ type }) => type === 'decimal')?.value ?? '.'
  points.set(locale, point)
  return point
}

/** 9/5 and 32: the two scales' definition (BIPM SI Brochure, 9th ed., for °C; NIST SP 811, B.8 for °F). */
export const fahrenheit = (celsius: number): number => celsius * 1.8 + 32

export const celsiusOf = (fahrenheit: number): number => (fahrenheit - 32) / 1.8

/** A difference has no zero to be shifted from. */
export const fahrenheitApart = (kelvin: number): number => kelvin * 1.8
