import { localParts } from '../../shared/time/wall.ts'
import { instant, minutes } from '../../schemas/amounts.ts'
import { type ColumnTarget, type ImportChoice, ImportLine, type TableLook } from '../../schemas/import.ts'
import { Household } from '../../schemas/household.ts'
import type { Instant } from '../../schemas/units.ts'

/** One line of a logger that wrote a whole winter: °C and %RH, null where it had no value. */
export interface WinterRow {
  readonly at: Instant
  readonly temperature: number | null
  readonly humidity: number | null
}

const loggerZone = 'Europe/Berlin'

/** A winter of a fridge by seed, every `every` minutes, over both nights in which the clocks of Berlin change. */
export function knownWinter(seed: number, every = 15): readonly WinterRow[] {
  const chance = chanceBy(seed)
  const rows: WinterRow[] = []
  let hundredths = 1200
  for (let at = Date.UTC(2024, 9, 20); at < Date.UTC(2025, 3, 5); at += minutes(every)) {
    hundredths += Math.round((chance() - 0.5) * 40) + Math.round((450 - hundredths) / 200)
    rows.push({
      at: instant(at),
      temperature: chance() < 0.002 ? null : hundredths / 100,
      humidity: chance() < 0.002 ? null : Math.round(700 + (chance() - 0.5) * 100) / 10,
    })
  }
  return rows
}

/** What of them is one quantity's, without the gaps. */
export const valuesIn = (rows: readonly WinterRow[], quantity: 'temperature' | 'humidity') =>
  rows.flatMap((row) => (row[quantity] === null ? [] : [[row.at, row[quantity]] as const]))

/** A fridge with one sensor, into which a past winter comes. */
export const fridgeWith = (sensor: string): Household =>
  Household.parse({
    version: 1,
    name: 'The house',
    timeZone: 'Europe/Vienna',
    places: [{ id: 'fridge', name: 'Fridge', kind: 'fridge', parent: null }],
    sensors: [{ id: sensor, name: 'Shelf', place: 'fridge', topic: 'a/b' }],
  })

/** Takes in each column that holds a quantity, as it was looked at. */
export const choiceOf = (look: TableLook, to: ColumnTarget): ImportChoice => ({
  zone: loggerZone,
  columns: look.columns.flatMap(({ index, quantity, unit }) =>
    quantity === null ? [] : [{ column: index, quantity, unit: unit ?? 'celsius', to }],
  ),
})

/** The line of an import that is done, before anything came in. */
export const anImport: ImportLine = ImportLine.parse({
  id: 't0fixture',
  at: Date.UTC(2026, 0, 11),
  by: 'Ada',
  file: 'winter.csv',
  state: 'done',
  progress: 1,
  rows: 2,
  added: 0,
  known: 0,
  thinned: 0,
  bad: 0,
  span: null,
  sensors: ['probe-2'],
  loggers: [],
  why: null,
})

/** Semicolons, decimal commas, date and time apart, a preamble and a footer, in the encoding of old Windows. */
export function withSemicolons(rows: readonly WinterRow[]): Buffer {
  const lines = rows.map(({ at, temperature, humidity }) => {
    const { year, month, day, hour, minute, second } = localParts(at, loggerZone)
    const cells = [temperature?.toFixed(2) ?? '---', humidity?.toFixed(1) ?? 'ERR'].map((cell) =>
      cell.replace('.', ','),
    )
    return `${two(day)}.${two(month)}.${year};${two(hour)}:${two(minute)}:${two(second)};${cells.join(';')};`
  })
  const preamble = ['Messprotokoll;;;;', 'Gerät;Kühlschrank 2;;;', 'Intervall;15;min;;', '']
  const footer = ['Ende der Messung;;;;', `Anzahl;${rows.length};;;`]
  const heading = 'Datum;Uhrzeit;Temperatur (°C);rel. Feuchte (%);'
  return Buffer.from([...preamble, heading, ...lines, ...footer, ''].join('\r\n'), 'latin1')
}

/** Commas and quotes, °F, a 12-hour clock with the month first, a row number, and a byte order mark. */
export function inFahrenheit(rows: readonly WinterRow[]): Buffer {
  const lines = rows.map(({ at, temperature, humidity }, i) => {
    const { year, month, day, hour, minute, second } = localParts(at, loggerZone)
    const half = hour < 12 ? 'AM' : 'PM'
    const time = `${month}/${day}/${year} ${hour % 12 === 0 ? 12 : hour % 12}:${two(minute)}:${two(second)} ${half}`
    return `${i + 1},"${time}",${fahrenheit(temperature)},${humidity ?? ''}`
  })
  return Buffer.from(`\uFEFF${['#,"Date, Time","Temp, °F","RH, %"', ...lines].join('\n')}\n`)
}

/** ISO 8601 with the offset of the day, tabs, nothing around it. */
export function withOffsets(rows: readonly WinterRow[]): Buffer {
  const lines = rows.map(({ at, temperature, humidity }) => {
    const { year, month, day, hour, minute, second } = localParts(at, loggerZone)
    const offset = (Date.UTC(year, month - 1, day, hour, minute, second) - at) / 3_600_000
    const time = `${year}-${two(month)}-${two(day)}T${two(hour)}:${two(minute)}:${two(second)}+${two(offset)}:00`
    return `${time}\t${temperature ?? 'NaN'}\t${humidity ?? 'NaN'}`
  })
  return Buffer.from(['timestamp\ttemperature_c\thumidity', ...lines, ''].join('\n'))
}

/** Exact: 18/10 of a hundredth is at most three decimals. */
const fahrenheit = (celsius: number | null): string =>
  celsius === null ? '' : ((Math.round(celsius * 100) * 18 + 32_000) / 1000).toFixed(3)

const two = (n: number): string => String(n).padStart(2, '0')

/** A small linear congruence (Numerical Recipes, ch. 7): the same winter for the same seed. */
function chanceBy(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0
    return state / 2 ** 32
  }
}
