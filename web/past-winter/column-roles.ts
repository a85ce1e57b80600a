import type { Household } from '../../schemas/household.ts'
import type { PlaceId, SensorId } from '../../schemas/ids.ts'
import type {
  ColumnGuess,
  ColumnTarget,
  DayOrder,
  ImportChoice,
  LookChoice,
  TableLook,
  TableUnit,
} from '../../schemas/import.ts'
import { say } from '../../shared/words/say.ts'

/** What a column is to be read as. */
export type Role = 'out' | 'time' | 'date' | 'clock' | 'temperature' | 'humidity'

export const roleNames: Readonly<Record<Role, string>> = {
  out: say('Leave out'),
  time: say('Time'),
  date: say('Date'),
  clock: say('Time of day'),
  temperature: say('Temperature'),
  humidity: say('Humidity'),
}

/** Where a column's readings go: a sensor's or logger's id, or a new logger of the name and place given. */
export interface Whose {
  readonly sensor: string
  readonly name: string
  readonly place: string
}

/** The value of `Whose.sensor` for a logger that is yet to be made. */
export const newLogger = ''

/** Everything that a person says of a table. */
export interface Said {
  readonly roles: readonly Role[]
  readonly units: readonly (TableUnit | '')[]
  readonly whose: readonly Whose[]
  readonly zone: string
  readonly dayOrder: DayOrder | ''
}

/** What is said before anybody says anything: the guesses. */
export function firstSaid(look: TableLook, household: Household): Said {
  const name = look.file.replace(/\.[^.]*$/, '').slice(0, 60)
  const place = household.places[0]?.id ?? ''
  const temperatures = look.columns.filter(({ quantity }) => quantity === 'temperature').length
  return {
    roles: look.columns.map(roleOf),
    units: look.columns.map(({ unit }) => unit ?? ''),
    // Two channels of one quantity cannot be one logger's
    whose: look.columns.map(({ heading }) => ({
      sensor: newLogger,
      name: temperatures > 1 ? heading.slice(0, 60) : name,
      place,
    })),
    zone: look.zone,
    dayOrder: '',
  }
}

const roleOf = ({ role, quantity }: ColumnGuess): Role =>
  role === 'value' ? (quantity ?? 'out') : role === 'other' ? 'out' : role

/** Said of one column; the other quantity of what was the same logger goes along. */
export function withWhose(said: Said, index: number, next: Whose): Said {
  const before = said.whose[index]
  const isMate = (one: Whose, i: number): boolean =>
    said.roles[i] !== said.roles[index] &&
    one.sensor === before?.sensor &&
    one.name === before.name &&
    one.place === before.place
  return { ...said, whose: said.whose.map((one, i) => (i === index || isMate(one, i) ? next : one)) }
}

/** Columns that hold values, as they were said. */
export const valueColumns = ({
  roles,
}: Said): readonly { index: number; quantity: 'temperature' | 'humidity' }[] =>
  roles.flatMap((role, index) =>
    role === 'temperature' || role === 'humidity' ? [{ index, quantity: role }] : [],
  )

export const isZone = (zone: string): boolean => {
  try {
    return zone !== '' && new Intl.DateTimeFormat('en', { timeZone: zone }) !== null
  } catch {
    return false
  }
}

/** What the daemon is asked to look by; null where the time is not said. */
export function lookChoiceOf(said: Said): LookChoice | null {
  const time = timeOf(said)
  if (time === null) return null
  return {
    time,
    columns: valueColumns(said).map(({ index, quantity }) => ({
      column: index,
      quantity,
      unit: quantity === 'humidity' ? 'percent' : said.units[index] || 'celsius',
    })),
    ...(isZone(said.zone) && { zone: said.zone }),
    ...(said.dayOrder !== '' && { dayOrder: said.dayOrder }),
  }
}

/** What is still to be said, as a sentence; the choice itself once nothing is. */
export function importChoiceOf(said: Said, look: TableLook): ImportChoice | string {
  const choice = lookChoiceOf(said)
  const columns = valueColumns(said)
  if (choice === null) return say('Say which column holds the time.')
  if (columns.length === 0) return say('Say which column holds temperatures or humidity.')
  if (columns.some(({ index, quantity }) => quantity === 'temperature' && said.units[index] === ''))
    return say('Say in which unit the temperatures are.')
  if (look.isLocal && !isZone(said.zone)) return say('Say in which time zone the logger’s clock ran.')
  if (look.dayOrder === 'ambiguous' && said.dayOrder === '')
    return say('Say whether the day or the month comes first.')
  if (
    columns.some(
      ({ index }) => said.whose[index]?.sensor === newLogger && said.whose[index].name.trim() === '',
    )
  )
    return say('Give the logger a name.')
  return {
    ...choice,
    columns: (choice.columns ?? []).map((column) => ({
      ...column,
      to: targetOf(said.whose[column.column] as Whose),
    })),
  }
}

function targetOf({ sensor, name, place }: Whose): ColumnTarget {
  if (sensor !== newLogger) return { kind: 'known', sensor: sensor as SensorId }
  return { kind: 'newLogger', name: name.trim(), place: place === '' ? null : (place as PlaceId) }
}

function timeOf({ roles }: Said): number[] | null {
  const [time, date, clock] = (['time', 'date', 'clock'] as const).map((role) => roles.indexOf(role))
  if (time !== undefined && time !== -1) return [time]
  if (date === undefined || date === -1) return null
  return clock === undefined || clock === -1 ? [date] : [date, clock]
}
