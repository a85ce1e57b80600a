import { afterAll, beforeAll, expect, test } from 'vitest'
import type { Winter } from '../../schemas/api.ts'
import type { ImportLine, TableLook, UndoneImport } from '../../schemas/import.ts'
import { days } from '../../schemas/amounts.ts'
import { PlaceId } from '../../schemas/ids.ts'
import { type Daemon, emptyFridge, startDaemon } from '../support/daemon.ts'
import {
  choiceOf,
  inFahrenheit,
  knownWinter,
  valuesIn,
  withOffsets,
  withSemicolons,
} from '../support/logger-tables.ts'
import { until } from '../support/until.ts'

/** Every half hour on the days on which clocks change, else every six hours. */
const clocksChange = [Date.UTC(2024, 9, 27), Date.UTC(2025, 2, 30)]
const winter = knownWinter(11, 30).filter(
  ({ at }) => at % 21_600_000 === 0 || clocksChange.some((change) => Math.abs(at - change) < days(1)),
)

let daemon: Daemon
beforeAll(async () => {
  daemon = await startDaemon()
  await emptyFridge(daemon)
})
afterAll(() => daemon.stop())

async function sent(bytes: Buffer, file: string): Promise<TableLook> {
  const answer = await fetch(`${daemon.url}/api/imports?file=${encodeURIComponent(file)}`, {
    method: 'POST',
    headers: { cookie: daemon.cookie(), 'content-type': 'text/csv' },
    body: new Uint8Array(bytes),
  })
  if (!answer.ok) throw new Error(`${answer.status} ${await answer.text()}`)
  return (await answer.json()) as TableLook
}

const toLogger = (look: TableLook, name: string) =>
  choiceOf(look, { kind: 'newLogger', name, place: PlaceId.parse('fridge') })

const lineOf = async (id: string): Promise<ImportLine | undefined> =>
  (await daemon.call<ImportLine[]>('GET', '/api/imports')).find((line) => line.id === id)

async function takenIn(bytes: Buffer, name: string): Promise<ImportLine> {
  const look = await sent(bytes, `${name}.csv`)
  await daemon.call('POST', `/api/imports/${look.id}`, toLogger(look, name))
  await until(async () => (await lineOf(look.id))?.state !== 'running', 'the table to be taken in')
  return (await lineOf(look.id)) as ImportLine
}

/** The readings of a whole winter, as the API writes them. */
async function exported(sensor: string, quantity: string): Promise<[at: string, value: string][]> {
  const found: [string, string][] = []
  for (let from = Date.UTC(2024, 9, 1); from < Date.UTC(2025, 4, 1); from += days(31)) {
    const query = `quantity=${quantity}&from=${from}&to=${from + days(31)}`
    const answer = await daemon.ask('GET', `/api/sensors/${sensor}/readings.csv?${query}`)
    if (!answer.ok) throw new Error(`${answer.status} ${await answer.text()}`)
    for (const line of (await answer.text()).split('\r\n').slice(1)) {
      const [at, , , value] = line.split(',')
      if (at !== undefined && value !== undefined) found.push([at, value])
    }
  }
  return found
}

const asExported = (quantity: 'temperature' | 'humidity') =>
  valuesIn(winter, quantity).map(([at, value]) => [new Date(at).toISOString(), String(value)])

test.each([
  ['semicolons', withSemicolons],
  ['fahrenheit', inFahrenheit],
  ['offsets', withOffsets],
])(
  'a past winter written with %s comes in to the last digit, is shown, adds nothing again, and goes again',
  async (name, write) => {
    const line = await takenIn(write(winter), name)
    expect(line).toMatchObject({ state: 'done', bad: 0, known: 0, rows: winter.length, by: 'Ada' })
    for (const quantity of ['temperature', 'humidity'] as const)
      expect(await exported(name, quantity)).toEqual(asExported(quantity))

    const { nights, seasons } = await daemon.call<Winter>('GET', '/api/places/fridge/winter?season=2024/25')
    expect(seasons).toContain('2024/25')
    expect(nights.filter(({ readings }) => readings >= 2).length).toBeGreaterThan(160)

    const twice = await takenIn(write(winter), name)
    expect([twice.added, twice.known]).toEqual([0, line.added])

    expect(await daemon.call<UndoneImport>('DELETE', `/api/imports/${line.id}`)).toEqual({
      removed: line.added,
      left: 0,
    })
    await daemon.call('DELETE', `/api/imports/${twice.id}`)
    const gone = await daemon.ask('GET', `/api/sensors/${name}/readings.csv?quantity=temperature&from=0&to=1`)
    expect(gone.status).toBe(404)
    expect((await daemon.alarms()).standing).toEqual([])
  },
  60_000,
)

test('L7: killed in the middle, what came in is listed and taken back whole', async () => {
  const look = await sent(withOffsets(knownWinter(3, 10)), 'long.csv')
  await daemon.call('POST', `/api/imports/${look.id}`, toLogger(look, 'Long'))
  await until(async () => ((await lineOf(look.id))?.added ?? 0) > 500, 'some of it to be in')
  await daemon.kill('SIGKILL')
  await daemon.again()
  const line = await lineOf(look.id)
  expect(line).toMatchObject({ state: 'broken', loggers: ['long'] })
  const [temperature, humidity] = [await exported('long', 'temperature'), await exported('long', 'humidity')]
  expect(temperature.length + humidity.length).toBe(line?.added)
  expect(line?.added).toBeLessThan(look.counts.readings)
  expect(await daemon.call<UndoneImport>('DELETE', `/api/imports/${look.id}`)).toEqual({
    removed: line?.added,
    left: 0,
  })
  expect(await lineOf(look.id)).toBeUndefined()
}, 60_000)

test('X1: a sitter and a stranger see no imports, and send none', async () => {
  expect((await daemon.ask('GET', '/api/imports', undefined, null)).status).toBe(401)
  const answer = await fetch(`${daemon.url}/api/imports?file=x.csv`, {
    method: 'POST',
    headers: { 'content-type': 'text/csv' },
    body: 'time,temp\n2025-01-01T00:00Z,4',
  })
  expect(answer.status).toBe(401)
})
