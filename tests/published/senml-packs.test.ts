import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { resolveSenml } from '../../daemon/mqtt/decode/senml.ts'
import { instant } from '../../schemas/amounts.ts'
import type { JournalLine } from '../../schemas/api.ts'
import { AlarmId, PlaceId, SensorId } from '../../schemas/ids.ts'
import { Quantity } from '../../schemas/quantity.ts'
import { Quality } from '../../schemas/reading.ts'
import { alarmChanges } from '../../schemas/journal.ts'
import { alarmPack } from '../../shared/upstream/alarm-packs.ts'
import { mostInPack, readingPacks } from '../../shared/upstream/reading-packs.ts'

/** The records of a pack as RFC 8428 §4.6 resolves them; throws at whatever the RFC does not allow. */
function resolved(payload: string) {
  const step = resolveSenml(JSON.parse(payload), null)
  if (!step.ok) throw new Error(step.refusal)
  return step.value
}

const box = SensorId.parse('box-1')
const aReading = fc.record({
  sensor: fc.constantFrom(box, SensorId.parse('fridge')),
  quantity: fc.constantFrom(...Quantity.options),
  at: fc.integer({ min: 1_600_000_000_000, max: 4_000_000_000_000 }).map(instant),
  value: fc.double({ min: -300, max: 300, noNaN: true }).map((value) => value + 0),
  quality: fc.constantFrom(...Quality.options),
})

describe('readings as SenML (RFC 8428)', () => {
  test('every reading comes back from its pack, to the last digit and the millisecond', () => {
    const key = ({ quantity, sensor, at }: { quantity: string; sensor: string; at: number }) =>
      `${sensor} ${quantity} ${at}`
    const readings = fc.uniqueArray(aReading, { selector: key, maxLength: 40 })
    fc.assert(
      fc.property(readings, (given) => {
        const records = readingPacks('north', given).flatMap(({ payload }) => resolved(payload))
        for (const { sensor, quantity, at, value, quality } of given) {
          const name = `north/${sensor}/${quantity}`
          const one = (what: string) => records.find((record) => record.name === what && record.at === at)
          const found = one(quality === 'good' ? name : `${name}/doubted`)
          const isState = quantity === 'door' || quantity === 'power'
          expect(isState ? found?.state : found?.number).toBe(isState ? value === 1 : value)
          expect(one(`${name}/quality`)?.text).toBe(quality === 'good' ? undefined : quality)
        }
        const doubted = given.filter(({ quality }) => quality !== 'good').length
        expect(records).toHaveLength(given.length + doubted)
      }),
    )
  })

  test('units are those of the IANA registry "SenML Units"', () => {
    const units = ['temperature', 'humidity', 'battery', 'voltage'] as const
    const readings = units.map((quantity) => ({
      sensor: box,
      quantity,
      at: instant(1_800_000_000_000),
      value: 5,
      quality: 'good' as const,
    }))
    const [pack] = readingPacks('north', readings)
    expect(resolved(pack?.payload ?? '').map(({ unit }) => unit)).toEqual(['Cel', '%RH', '%EL', 'V'])
  })

  test('X3: a pack holds two hundred readings, the next goes into another, and each sensor has its topic', () => {
    const many = (count: number) =>
      Array.from({ length: count }, (_, i) => ({
        sensor: box,
        quantity: 'temperature' as const,
        at: instant(1_800_000_000_000 + i),
        value: -17.123456789012345,
        quality: 'outOfRange' as const,
      }))
    expect(readingPacks('north', many(mostInPack))).toHaveLength(1)
    const packs = readingPacks('north', many(mostInPack + 1))
    expect(packs.map(({ topic }) => topic)).toEqual([
      'brumal/site/north/readings/box-1',
      'brumal/site/north/readings/box-1',
    ])
    for (const { payload } of packs) expect(payload.length).toBeLessThan(32_000)
    expect(readingPacks('north', [])).toEqual([])
  })
})

describe('changes of alarms as SenML (RFC 8428)', () => {
  const line = {
    id: 7,
    at: instant(1_800_000_000_123),
    kind: 'raised',
    by: 'brumal',
    alarm: AlarmId.parse('limit:box-1:temperature:lowCritical'),
    alarmKind: 'limit',
    priority: 'high',
    place: PlaceId.parse('box-1'),
    quantity: 'temperature',
    limit: 'lowCritical',
    value: 0.4,
    threshold: 1,
    text: 'Nobody reads this.',
  } as const satisfies JournalLine

  test('a raised alarm says what, where and by how much, each record under a name of its own', () => {
    const { topic, payload } = alarmPack('north', line)
    expect(topic).toBe('brumal/site/north/alarms')
    const base = 'north/alarm/limit:box-1:temperature:lowCritical/'
    const records = resolved(payload)
    expect(new Set(records.map(({ at }) => at))).toEqual(new Set([line.at]))
    expect(
      Object.fromEntries(
        records.map(({ name, state, text, number }) => [name.replace(base, ''), state ?? text ?? number]),
      ),
    ).toEqual({
      raised: true,
      out: true,
      kind: 'limit',
      priority: 'high',
      place: 'box-1',
      quantity: 'temperature',
      limit: 'lowCritical',
      value: 0.4,
      threshold: 1,
    })
  })

  test.each(alarmChanges)('the change %s names itself, and only what it says of the condition', (kind) => {
    const records = resolved(alarmPack('north', { ...line, kind }).payload)
    expect(records[0]?.state).toBe(true)
    expect(records[0]?.name.endsWith(`/${kind}`)).toBe(true)
    const out = records.find(({ name }) => name.endsWith('/out'))?.state
    expect(out).toBe({ raised: true, returned: false }[kind as string])
  })

  test('X4: who answered, and what people wrote, stays in the house', () => {
    const answered = { ...line, kind: 'shelved', by: 'Ada', text: 'I am at the vet.' } as const
    expect(alarmPack('north', answered).payload).not.toMatch(/Ada|vet/)
  })
})
