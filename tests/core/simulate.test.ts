import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { readScenario } from '../../daemon/cli/read-scenario.ts'
import { simulateCommand } from '../../daemon/cli/simulate.ts'
import { simulate } from '../../daemon/practice/simulate.ts'
import type { Reading } from '../../schemas/reading.ts'
import { TruthLine, type Scenario } from '../../schemas/scenario.ts'
import { hours, minutes } from '../../schemas/amounts.ts'

const fixtures = new URL('../../fixtures/scenarios/', import.meta.url)
const names = readdirSync(fixtures).filter((name) => name.endsWith('.yaml'))

let folder: string
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'simulate-'))
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

describe('every scenario that comes with the program', () => {
  test('there are the six that the manual names', () => {
    expect(names.sort()).toEqual([
      'door-ajar.yaml',
      'power-cut.yaml',
      'quiet-night.yaml',
      'sensor-faults.yaml',
      'southern-winter.yaml',
      'stuck-thermostat.yaml',
    ])
  })

  test.each(names)(
    '%s is valid and runs to its end: steps in order, readings in order of arrival',
    (name) => {
      const scenario = fixture(name)
      let at: number = scenario.start
      let arrived: number = scenario.start
      const heard = new Set<string>()
      for (const event of simulate(scenario, scenario.seed)) {
        if (event.kind === 'reading') {
          expect(event.arrives).toBeGreaterThanOrEqual(arrived)
          arrived = event.arrives
          heard.add(event.reading.sensor)
        } else {
          const isSample = event.line.kind === 'fault' || Date.parse(event.line.at) % minutes(10) === 0
          if (isSample) expect(TruthLine.safeParse(event.line).error).toBeUndefined()
          if (event.line.kind === 'state') {
            expect(Date.parse(event.line.at) - at).toBe(
              Math.min(scenario.step, scenario.start + scenario.lasts - at),
            )
            at = Date.parse(event.line.at)
          }
        }
      }
      expect(at).toBe(scenario.start + scenario.lasts)
      expect([...heard].sort()).toEqual(scenario.sensors.map(({ id }) => id as string).sort())
    },
  )
})

describe('the files', () => {
  test('the same scenario and seed give the same bytes, another seed gives others', async () => {
    const [one, again, other] = [
      await written('sensor-faults', 3),
      await written('sensor-faults', 3),
      await written('sensor-faults', 4),
    ]
    expect(one.readings.equals(again.readings)).toBe(true)
    expect(one.truth.equals(again.truth)).toBe(true)
    expect(one.readings.equals(other.readings)).toBe(false)
    expect(one.truth.equals(other.truth)).toBe(false)
  })

  test('readings are RFC 4180 with ISO 8601 instants in UTC, and are the simulated ones', async () => {
    const { readings } = await written('quiet-night', 1)
    const lines = readings.toString('utf8').split('\r\n')
    expect(lines[0]).toBe('at,sensor,quantity,value')
    expect(lines.at(-1)).toBe('')
    const rows = lines.slice(1, -1).map((line) => line.split(','))
    for (const row of rows) {
      expect(row).toHaveLength(4)
      expect(row[0]).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z$/)
      expect(row[3]).toMatch(/^-?\d+(?:\.\d+)?$/)
    }
    expect(rows).toEqual(
      readingsOf(fixture('quiet-night.yaml'), 1).map(({ at, sensor, quantity, value }) => [
        new Date(at).toISOString(),
        sensor,
        quantity,
        String(value),
      ]),
    )
  })

  test('the truth has one line a step with every place, and one for each thing that goes wrong', async () => {
    const { truth } = await written('power-cut', 1)
    const lines = truth
      .toString('utf8')
      .trimEnd()
      .split('\n')
      .map((line) => TruthLine.parse(JSON.parse(line)))
    const states = lines.filter((line) => line.kind === 'state')
    expect(states).toHaveLength((20 * 3600) / 10)
    expect(Object.keys(states[0]?.celsius ?? {}).sort()).toEqual([
      'box-fern',
      'cold-frame',
      'fridge',
      'garden',
      'kitchen',
    ])
    expect(lines.filter((line) => line.kind === 'fault')).toEqual([
      { kind: 'fault', fault: 'powerCut', from: '2026-01-20T21:00:00.000Z', to: '2026-01-21T05:00:00.000Z' },
    ])
  })

  test('every mistake of a scenario is told at once, with its line and path, and nothing is written', async () => {
    const scenario = join(folder, 'wrong.yaml')
    writeFileSync(
      scenario,
      [
        'name: Wrong',
        'start: yesterday',
        'lasts: 10 h',
        'timeZone: Europe/Atlantis',
        'weather: cold',
        'places:',
        '  - { id: cellar, kind: room, mean: warm }',
        '  - { id: fridge, kind: fridge, parent: attic }',
        '  - { id: fridge, kind: box, parent: fridge }',
        'sensors:',
        '  - { id: probe, place: box, every: 1 min, jitter: 30 s }',
        'events:',
        '  - { kind: doorOpen, place: cellar, after: 1 h, lasts: 1 h }',
        '  - { kind: spike, sensor: nose, after: 11 h, lasts: 1 h }',
      ].join('\n'),
    )
    const told: string[] = []
    const outReadings = join(folder, 'wrong.csv')
    const code = await simulateCommand({
      scenarioPath: scenario,
      outReadings,
      outTruth: join(folder, 'wrong.jsonl'),
      err: { write: (text: string) => told.push(text.replace(`${scenario}:`, '').trimEnd()) },
    })
    expect(code).toBe(78)
    expect(told.map((line) => line.split(': ').slice(0, 2).join(' '))).toEqual([
      '2 start',
      '4 timeZone',
      '5 weather',
      '7 places.0.mean',
      '8 places.1.id',
      '8 places.1.parent',
      '9 places.2.parent',
      '11 sensors.0.place',
      '11 sensors.0.jitter',
      '13 events.0.place',
      '14 events.1.by',
      '14 events.1.after',
      '14 events.1.sensor',
    ])
    expect(told.find((line) => line.includes('jitter'))).toBe(
      '11: sensors.0.jitter: must be less than half of every',
    )
    expect(readdirSync(folder)).not.toContain('wrong.csv')
  })

  test('a scenario that is not there is a sentence with its name', async () => {
    await expect(
      simulateCommand({ scenarioPath: join(folder, 'none.yaml'), outReadings: '-', outTruth: '-' }),
    ).rejects.toThrow(/cannot read the scenario .*none\.yaml/)
  })
})

describe('what the truth calls a fault is in the readings, then and only then', () => {
  const scenario = fixture('sensor-faults.yaml')
  const all = [...simulate(scenario, 5)]
  const faults = all.flatMap((event) =>
    event.kind === 'truth' && event.line.kind === 'fault' ? [event.line] : [],
  )
  const of = (sensor: string) =>
    all.flatMap((event) => (event.kind === 'reading' && event.reading.sensor === sensor ? [event] : []))
  const during = (sensor: string) => {
    const fault = faults.find((one) => one.sensor === sensor)
    if (fault === undefined) throw new Error(`no fault of ${sensor}`)
    const [from, to] = [Date.parse(fault.from), Date.parse(fault.to)]
    const inside = of(sensor).filter(({ reading }) => reading.at >= from && reading.at < to)
    const outside = of(sensor).filter(({ reading }) => reading.at < from || reading.at >= to)
    return { from, to, inside, outside }
  }
  const temperatures = (events: readonly { reading: Reading }[]) =>
    events.filter(({ reading }) => reading.quantity === 'temperature').map(({ reading }) => reading.value)

  test('every event of the scenario is in the truth', () => {
    expect(faults.map(({ fault }) => fault).sort()).toEqual(
      scenario.events.map(({ kind }) => kind as string).sort(),
    )
  })

  test('silent: nothing is heard for three hours', () => {
    const { inside, outside } = during('goes-silent')
    expect(inside).toEqual([])
    expect(outside.length).toBeGreaterThan(300)
  })

  test('stuck: the value from before is repeated while the air swings', () => {
    const { inside, outside, from } = during('gets-stuck')
    const before = outside.filter(({ reading }) => reading.at < from).at(-1)?.reading.value
    expect(new Set(temperatures(inside))).toEqual(new Set([before]))
    expect(inside.length).toBeGreaterThan(100)
    expect(new Set(temperatures(outside)).size).toBeGreaterThan(10)
  })

  test('spike: one reading 15 K up, one 15 K down', () => {
    const values = temperatures(of('spikes'))
    expect(values.filter((value) => value > 15)).toHaveLength(1)
    expect(values.filter((value) => value < -5)).toHaveLength(1)
  })

  test('drift: half a day at 2 K a day ends 1 K too warm', () => {
    const { inside, outside } = during('drifts')
    const truth = temperatures(outside)
    expect(Math.abs((temperatures(inside).at(-1) ?? 0) - mean(truth) - 1)).toBeLessThan(0.25)
    expect(Math.abs((temperatures(inside)[0] ?? 0) - mean(truth))).toBeLessThan(0.25)
  })

  test('85.0 °C before the first conversion, −127 °C from a broken wire', () => {
    for (const [sensor, value] of [
      ['starts-anew', 85],
      ['breaks', -127],
    ] as const) {
      const { inside, outside } = during(sensor)
      expect(inside.length).toBeGreaterThan(2)
      expect(new Set(temperatures(inside))).toEqual(new Set([value]))
      expect(temperatures(outside)).not.toContain(value)
    }
  })

  test('battery low: 4 % until the end', () => {
    const { inside, outside } = during('runs-low')
    const battery = (events: typeof inside) =>
      events.filter(({ reading }) => reading.quantity === 'battery').map(({ reading }) => reading.value)
    expect(new Set(battery(inside))).toEqual(new Set([4]))
    expect(Math.min(...battery(outside))).toBeGreaterThan(90)
  })

  test('duplicates: each reading twice, otherwise once', () => {
    const { inside, outside } = during('repeats')
    expect(new Set(inside.map(({ reading }) => reading.at)).size * 2).toBe(inside.length)
    expect(new Set(outside.map(({ reading }) => reading.at)).size).toBe(outside.length)
  })

  test('late: all arrive when it ends, in order, with their own times', () => {
    const { inside, outside, to } = during('comes-late')
    expect(inside.length).toBeGreaterThan(40)
    for (const { arrives } of inside) expect(arrives).toBe(to)
    expect(inside.map(({ reading }) => reading.at)).toEqual(
      inside.map(({ reading }) => reading.at).toSorted((a, b) => a - b),
    )
    for (const { arrives, reading } of outside) expect(arrives).toBe(reading.at)
  })

  test('clock ahead: stamped ten minutes after they arrive', () => {
    const ahead = of('lives-ahead').filter(({ arrives, reading }) => reading.at !== arrives)
    expect(ahead.length).toBeGreaterThan(50)
    for (const { arrives, reading } of ahead) expect(reading.at - arrives).toBe(minutes(10))
  })
})

describe('what goes wrong with a place', () => {
  test('a stuck thermostat runs all the time and takes the box below 1 °C', () => {
    const states = statesOf(fixture('stuck-thermostat.yaml'))
    const stuck = states.filter(({ at }) => at > '2026-01-10T23:00:10' && at <= '2026-01-11T05:00:00.000Z')
    expect(stuck.every(({ running }) => running.includes('fridge' as never))).toBe(true)
    expect(Math.min(...states.map(({ celsius }) => celsius['box-fern' as never] ?? Number.NaN))).toBeLessThan(
      1,
    )
  })

  test('a door ajar is told by its contact at once, warms the air past 10 °C and the box after it', () => {
    const scenario = fixture('door-ajar.yaml')
    const opened = scenario.start + hours(5)
    const contact = readingsOf(scenario, 3).filter(({ quantity }) => quantity === 'door')
    expect(contact.find(({ at, value }) => at >= opened && value === 1)?.at).toBe(opened)
    expect(contact.find(({ at, value }) => at > opened && value === 0)?.at).toBe(opened + hours(6))
    const warm = (place: string) =>
      Date.parse(
        statesOf(scenario).find(
          ({ at, celsius }) => Date.parse(at) > opened && (celsius[place as never] ?? 0) > 10,
        )?.at ?? '',
      )
    expect(warm('fridge') - opened).toBeLessThan(hours(1))
    expect(warm('box-fern') - warm('fridge')).toBeGreaterThan(hours(1))
  })

  test('a power cut stops compressor, heater and the sensor on the mains; the contact says so', () => {
    const scenario = fixture('power-cut.yaml')
    const [from, to] = [scenario.start + hours(4), scenario.start + hours(12)]
    const cut = ({ at }: Reading) => at >= from && at < to
    const readings = readingsOf(scenario, 4)
    expect(readings.filter((one) => one.sensor === ('fridge-air' as never) && cut(one))).toEqual([])
    expect(readings.some((one) => one.sensor === ('fern-soil' as never) && cut(one))).toBe(true)
    const power = readings.filter(({ quantity }) => quantity === 'power')
    expect(power.length).toBeGreaterThan(100)
    for (const one of power) expect(one.value).toBe(cut(one) ? 0 : 1)
    const after = statesOf(scenario).filter(({ at }) => Date.parse(at) > from && Date.parse(at) <= to)
    expect(after.every(({ running }) => running.length === 0)).toBe(true)
  })

  test('the long southern night is covered from 07:00Z to 20:00Z', () => {
    const { start, lasts } = fixture('southern-winter.yaml')
    expect(start).toBeLessThan(Date.parse('2026-04-04T07:00:00Z'))
    expect(start + lasts).toBeGreaterThan(Date.parse('2026-04-04T20:00:00Z'))
  })
})

test('whatever the interval and jitter, a sensor is heard at its pace and never out of order', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 600 }),
      fc.double({ min: 0, max: 0.49, noNaN: true }),
      fc.nat(),
      (every, share, seed) => {
        const read = readScenario(`
name: One sensor
start: 2026-01-01T00:00:00Z
lasts: 2 h
step: 7 s
timeZone: UTC
places: [{ id: room, kind: room, mean: 5 }]
sensors: [{ id: probe, place: room, every: ${every} s, jitter: ${Math.floor(every * 1000 * share)} }]
`)
        if (!read.ok) throw new Error(JSON.stringify(read.mistakes))
        const times = readingsOf(read.scenario, seed).map(({ at }) => at)
        expect(Math.abs(times.length - 7200 / every)).toBeLessThanOrEqual(2)
        times.forEach((at, i) => expect(at).toBeGreaterThan(times[i - 1] ?? 0))
      },
    ),
    { numRuns: 30 },
  )
})

function fixture(name: string): Scenario {
  const read = readScenario(readFileSync(new URL(name, fixtures), 'utf8'))
  if (!read.ok) throw new Error(`${name}: ${JSON.stringify(read.mistakes)}`)
  return read.scenario
}

function readingsOf(scenario: Scenario, seed: number): Reading[] {
  return [...simulate(scenario, seed)].flatMap((event) => (event.kind === 'reading' ? [event.reading] : []))
}

function statesOf(scenario: Scenario) {
  return [...simulate(scenario, scenario.seed)].flatMap((event) =>
    event.kind === 'truth' && event.line.kind === 'state' ? [event.line] : [],
  )
}

async function written(name: string, seed: number) {
  const [outReadings, outTruth] = [join(folder, 'readings.csv'), join(folder, 'truth.jsonl')]
  const scenarioPath = new URL(`${name}.yaml`, fixtures).pathname
  expect(await simulateCommand({ scenarioPath, seed, outReadings, outTruth })).toBe(0)
  return { readings: readFileSync(outReadings), truth: readFileSync(outTruth) }
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length
