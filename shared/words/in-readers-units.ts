import { clockOf, fahrenheit, fahrenheitApart, inReadersDigits, reader, type Units } from './reader.ts'

const number = String.raw`[−-]?\d+(?:[.,]\d+)?`
/** Between two figures of one unit, in the languages of the program. */
const between = ' to | and | or | bis | und | oder |–| · '

/** One figure before its unit, or two: `−0.6 °C`, `3.0 and 7.0 °C`. */
const figuresIn = (space: string, unit: string): RegExp =>
  new RegExp(`(?<![\\d.,])(?:(${number})(${between}))?(${number})(${space})${unit}`, 'gu')

/** What stands before a narrow space or in kelvin is a difference, which has no zero to be shifted from (`apartWords`). */
const kinds = [
  { pattern: figuresIn('[ \u00a0]', '°C'), by: fahrenheit, unit: '°C' },
  { pattern: figuresIn('\u202f', '°C'), by: fahrenheitApart, unit: '°C' },
  { pattern: figuresIn('[ \u00a0\u202f]', String.raw`K(?![\p{L}\d])`), by: fahrenheitApart, unit: 'K' },
] as const

/** `03:12`, not yet one of the clock of twelve hours, nor part of a longer row of figures. */
const clocks = /(?<![\d:.,])([01]\d|2[0-3]):([0-5]\d)(?![\d:])(?!\s?[AaPp]\.?[Mm]\b)/g

/**
 * A sentence that was made in °C and 24 hours, as its reader writes them, exact to the digit that it shows: what the
 * daemon says is one sentence for all who read it, and only the page knows who reads. What it says in °F already stays.
 */
export function inReadersUnits(sentence: string, units: Units = reader().units): string {
  const isCelsius = units === 'celsius'
  const worded = kinds.reduce((said, { pattern, by, unit }) => {
    const one = (figure: string): string => (isCelsius ? digitsOf(figure) : converted(figure, by))
    return said.replace(
      pattern,
      (_whole, first: string | undefined, middle: string | undefined, last: string, space: string) =>
        `${first === undefined ? '' : one(first)}${middle ?? ''}${one(last)}${space}${isCelsius ? unit : '°F'}`,
    )
  }, sentence)
  return reader().hours === 'h23' ? worded : worded.replace(clocks, inHalfDays)
}

/** With as many digits as the figure had; a whole one gets a tenth where its own is not nought: `18` is `64.4`. */
function converted(figure: string, by: (value: number) => number): string {
  const plain = figure.replace('−', '-').replace(',', '.')
  const places = plain.split('.')[1]?.length ?? 0
  const value = by(Number(plain))
  const text = value.toFixed(Math.max(places, 1))
  const whole = places === 0 ? text.replace(/\.0$/, '') : text
  return inReadersDigits(/^-0(?:\.0+)?$/.test(whole) ? whole.slice(1) : whole)
}

const digitsOf = (figure: string): string => inReadersDigits(figure.replace(',', '.'))

const inHalfDays = (_whole: string, hour: string, minute: string): string =>
  clockOf((Number(hour) * 60 + Number(minute)) * 60_000, 'UTC')
