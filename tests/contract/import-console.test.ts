import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import type { ReadingsOptions } from '../../daemon/cli/import-choice.ts'
import { importReadings, listReadings, undoReadings } from '../../daemon/cli/import-readings.ts'
import { lockFolder } from '../../daemon/sqlite/lock-folder.ts'
import { SensorId } from '../../schemas/ids.ts'
import { millis } from '../../schemas/amounts.ts'
import { quickFolder } from '../support/kept-house.ts'
import { fridgeWith, knownWinter, withOffsets, withSemicolons } from '../support/logger-tables.ts'
import { clock as at, openStore } from '../support/store-world.ts'

const winter = knownWinter(3, 60).slice(0, 200)

let folder: ReturnType<typeof quickFolder>
let said: string[]
beforeEach(() => {
  folder = quickFolder()
  said = []
  const { store } = openStore(folder.path)
  store.commit({ readings: [], journal: [], household: fridgeWith('shelf') })
  store.close()
})
afterEach(() => folder.remove())

const to = {
  clock: { now: () => at(0), uptime: () => millis(0) },
  out: (line: string) => void said.push(line),
  err: (line: string) => void said.push(line),
  progress: null,
}

function aFile(bytes: Buffer | string): string {
  const path = join(folder.path, 'winter.csv')
  writeFileSync(path, bytes)
  return path
}

const taking = (bytes: Buffer | string, options: Omit<ReadingsOptions, 'file'>) =>
  importReadings(folder.path, { file: aFile(bytes), ...options }, to)

function kept(sensor: string) {
  const { store } = openStore(folder.path)
  const span = store.span(SensorId.parse(sensor), 'temperature')
  const { loggers } = store.household() ?? {}
  const journal = store.journal({ limit: 9 }).map(({ by, text }) => `${by}: ${text}`)
  store.close()
  return { span, loggers, journal }
}

test('a past winter comes in from the console, is listed, and is taken back', async () => {
  expect(
    await taking(withSemicolons(winter), { logger: 'Old one', place: 'fridge', zone: 'Europe/Berlin' }),
  ).toBe(0)
  const readings = winter
    .flatMap(({ temperature, humidity }) => [temperature, humidity])
    .filter((one) => one !== null)
  expect(said).toEqual([
    expect.stringMatching(
      new RegExp(
        `^winter\\.csv: ${readings.length} readings, 2024-10-20 to 2024-10-28\\. Take it back with brumal import --undo t\\w+$`,
      ),
    ),
  ])
  expect(kept('old-one')).toMatchObject({
    span: { first: winter[0]?.at, last: winter.at(-1)?.at },
    loggers: [{ id: 'old-one', name: 'Old one', place: 'fridge', every: 3_600_000 }],
  })
  said = []
  expect(listReadings(folder.path, to.out)).toBe(0)
  const id = /--undo (t\w+)/.exec(said[0] ?? '')?.[1] ?? ''
  said = []
  expect(await undoReadings(folder.path, id, to)).toBe(0)
  expect(said).toEqual([`Took back ${readings.length} readings.`])
  const { span, loggers, journal } = kept('old-one')
  expect([span, loggers]).toEqual([null, undefined])
  expect(journal[0]).toBe(`brumal: Took back winter.csv: ${readings.length} readings.`)
  expect(await undoReadings(folder.path, id, to)).toBe(1)
})

test.each([
  ['nobody named', {}, 'Say whose readings they are: --sensor <id>, or --logger <name> --place <id>.'],
  ['no such sensor', { sensor: 'attic' }, 'There is no sensor attic; there are: shelf.'],
  ['no such place', { logger: 'x', place: 'attic' }, 'There is no place attic; there are: fridge.'],
  [
    'no zone',
    { sensor: 'shelf', unit: 'celsius', temperature: '2' },
    /time zone the logger’s clock ran. Add --zone/,
  ],
  [
    'no such zone',
    { sensor: 'shelf', unit: 'celsius', temperature: '2', zone: 'Nowhere' },
    'There is no time zone Nowhere.',
  ],
  ['no unit', { sensor: 'shelf', temperature: 'Shelf' }, /does not say the unit of “Shelf”: add --unit/],
  [
    'several columns',
    { sensor: 'shelf' },
    'Several columns may hold the temperature: name one with --temperature. There are: “Shelf temp”, “Drawer temp”.',
  ],
] as const)('with %s it says what to add, and nothing is changed', async (what, options, sentence) => {
  const table =
    what === 'several columns'
      ? 'Time,Shelf temp,Drawer temp\n2025-01-02 00:00,4,5\n2025-01-02 00:10,4,5\n'
      : 'Time,Shelf\n2025-01-02 00:00,4.5\n2025-01-02 00:10,4.6\n'
  expect(await taking(table, options)).toBe(1)
  expect(said).toHaveLength(1)
  if (typeof sentence === 'string') expect(said[0]).toBe(sentence)
  else expect(said[0]).toMatch(sentence)
  expect(kept('shelf')).toEqual({ span: null, loggers: undefined, journal: [] })
})

test('lines at fault are named, and the others come in', async () => {
  const text = `${withOffsets(winter).toString()}2025-01-01T00:00:00+01:00\twarm\t80\n`
  expect(await taking(text, { sensor: 'shelf' })).toBe(0)
  expect(said[0]).toBe('line 202: Expected a number in “temperature_c”, found “warm”.')
})

test('while Brumal runs on the folder nothing is taken in', async () => {
  const lock = lockFolder(folder.path)
  await expect(taking(withOffsets(winter), { sensor: 'shelf' })).rejects.toThrow(/already running/)
  lock.release()
})
