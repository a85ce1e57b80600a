import type { Household } from '../../schemas/household.ts'
import { type PlaceId, SensorId } from '../../schemas/ids.ts'
import {
  type ColumnGuess,
  type ColumnTarget,
  DayOrder,
  type ImportChoice,
  type TableLook,
  type TableQuantity,
  TableUnit,
} from '../../schemas/import.ts'
import { TimeZone } from '../../schemas/place.ts'
import { allSensors } from '../../shared/judging/past-layout.ts'

/** What stands behind `brumal import --readings`. */
export interface ReadingsOptions {
  readonly file: string
  readonly sensor?: string | undefined
  readonly logger?: string | undefined
  readonly place?: string | undefined
  readonly zone?: string | undefined
  readonly unit?: string | undefined
  readonly dayOrder?: string | undefined
  readonly temperature?: string | undefined
  readonly humidity?: string | undefined
}

/** What is to be done with the table, or what must be said first. */
export function choiceOf(
  look: TableLook,
  options: ReadingsOptions,
  household: Household,
): ImportChoice | string {
  const { zone, unit, dayOrder } = options
  const to = targetOf(options, household)
  if (typeof to === 'string') return to
  if (zone !== undefined && !TimeZone.safeParse(zone).success) return `There is no time zone ${zone}.`
  if (unit !== undefined && !TableUnit.safeParse(unit).success)
    return `--unit must be one of ${TableUnit.options.slice(0, 3).join(', ')}.`
  if (dayOrder !== undefined && !DayOrder.safeParse(dayOrder).success)
    return `--day-order must be one of ${DayOrder.options.join(', ')}.`
  const columns: ImportChoice['columns'] = []
  for (const quantity of ['temperature', 'humidity'] as const) {
    const column = columnOf(look, quantity, options[quantity])
    if (typeof column === 'string') return column
    if (column === null) continue
    const said = quantity === 'humidity' ? 'percent' : ((unit as TableUnit | undefined) ?? column.unit)
    if (said === null)
      return `The table does not say the unit of “${column.heading}”: add --unit celsius, fahrenheit or kelvin.`
    columns.push({ column: column.index, quantity, unit: said, to })
  }
  if (columns.length === 0) return 'The table has no column with temperatures: name one with --temperature.'
  return {
    columns,
    ...(zone !== undefined && { zone }),
    ...(dayOrder !== undefined && { dayOrder: dayOrder as DayOrder }),
  }
}

function targetOf({ sensor, logger, place }: ReadingsOptions, household: Household): ColumnTarget | string {
  if (sensor !== undefined) {
    const id = SensorId.safeParse(sensor)
    const isThere = id.success && allSensors(household).some((one) => one.id === id.data)
    if (id.success && isThere) return { kind: 'known', sensor: id.data }
    const all = allSensors(household).map((one) => one.id)
    return `There is no sensor ${sensor}; there are: ${all.join(', ') || 'none'}.`
  }
  if (logger === undefined)
    return 'Say whose readings they are: --sensor <id>, or --logger <name> --place <id>.'
  if (place !== undefined && !household.places.some(({ id }) => id === place))
    return `There is no place ${place}; there are: ${household.places.map(({ id }) => id).join(', ') || 'none'}.`
  return { kind: 'newLogger', name: logger.slice(0, 60), place: (place ?? null) as PlaceId | null }
}

/** The column of a quantity: as asked, or the only one that seems to hold it; null where there is none. */
function columnOf(
  look: TableLook,
  quantity: TableQuantity,
  asked: string | undefined,
): ColumnGuess | null | string {
  if (asked !== undefined) {
    const found = look.columns.find(({ heading, index }) => heading === asked || String(index + 1) === asked)
    return found ?? `The table has no column “${asked}”; it has: ${headings(look.columns)}.`
  }
  const all = look.columns.filter((column) => column.quantity === quantity)
  if (all.length < 2) return all[0] ?? null
  return `Several columns may hold the ${quantity}: name one with --${quantity}. There are: ${headings(all)}.`
}

const headings = (columns: readonly ColumnGuess[]): string =>
  columns.map(({ heading }) => `“${heading}”`).join(', ')
