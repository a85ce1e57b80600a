import { millis, minutes } from '../../schemas/amounts.ts'
import type { Household } from '../../schemas/household.ts'
import { type SensorId, slugOf } from '../../schemas/ids.ts'
import type { ColumnTarget, ImportChoice } from '../../schemas/import.ts'
import type { Logger } from '../../schemas/logger.ts'
import type { SensorType } from '../../schemas/sensor.ts'
import { allSensors } from '../../shared/judging/past-layout.ts'
import type { Outcome } from '../ports/outcome.ts'
import type { ImportRefusal } from '../ports/imports.ts'
import type { Series } from './import-hours.ts'

/** Whose each column's readings are to be, and the loggers that are to be made for them. */
export interface Targets {
  readonly series: readonly (Series & { readonly type: SensorType })[]
  readonly loggers: readonly Logger[]
}

const mostLoggers = 500
const [leastEvery, mostEvery] = [1000, 86_400_000]

/**
 * A new logger of a name and place that one has already is that one: the same table a second time must find its own
 * readings.
 */
export function targetsOf(
  { columns }: ImportChoice,
  household: Household,
  every: number | null,
): Outcome<Targets, ImportRefusal> {
  const series: Targets['series'][number][] = []
  const made: Logger[] = []
  for (const { quantity, to } of columns) {
    const found = to.kind === 'known' ? known(household, to.sensor) : loggerFor(to, household, made, every)
    if (!found.ok) return found
    const { sensor } = found.value
    if (series.some((other) => other.sensor === sensor && other.quantity === quantity)) return sameTwice
    series.push({ ...found.value, quantity })
  }
  if ((household.loggers ?? []).length + made.length > mostLoggers)
    return { ok: false, error: 'tooMany', sentence: `At most ${mostLoggers} loggers.` }
  return { ok: true, value: { series, loggers: made } }
}

interface Found {
  readonly sensor: SensorId
  readonly type: SensorType
}

function known(household: Household, id: SensorId): Outcome<Found, ImportRefusal> {
  const sensor = allSensors(household).find((one) => one.id === id)
  return sensor === undefined
    ? { ok: false, error: 'noSuchSensor', sentence: `There is no sensor ${id}.` }
    : { ok: true, value: { sensor: id, type: sensor.type } }
}

function loggerFor(
  { name, place }: Extract<ColumnTarget, { kind: 'newLogger' }>,
  household: Household,
  made: Logger[],
  every: number | null,
): Outcome<Found, ImportRefusal> {
  if (place !== null && !household.places.some(({ id }) => id === place))
    return { ok: false, error: 'noSuchPlace', sentence: `There is no place ${place}.` }
  const loggers = [...(household.loggers ?? []), ...made]
  const same = loggers.find((one) => one.name === name && one.place === place)
  if (same !== undefined) return { ok: true, value: { sensor: same.id, type: 'other' } }
  const id = freeId(name, [...household.sensors, ...loggers])
  const step =
    every === null ? minutes(10) : millis(Math.min(mostEvery, Math.max(leastEvery, Math.round(every))))
  made.push({ id, name, place, spot: 'air', every: step })
  return { ok: true, value: { sensor: id, type: 'other' } }
}

/** Of the name, with a number behind it where that is taken. */
function freeId(name: string, taken: readonly { readonly id: string }[]): SensorId {
  const slug = slugOf(name)
  const isFree = (id: string) => !taken.some((one) => one.id === id)
  let id = slug
  for (let n = 2; !isFree(id); n++) id = `${slug.slice(0, 36).replace(/-+$/, '')}-${n}`
  return id as SensorId
}

const sameTwice = {
  ok: false,
  error: 'sameTwice',
  sentence: 'Two columns cannot be the same quantity of one sensor: choose another for one of them.',
} as const
