import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { instant, millis } from '../../schemas/amounts.ts'
import { KeepingNow } from '../../schemas/keeping.ts'
import type { PlaceNow } from '../../schemas/api.ts'
import type { SensorId } from '../../schemas/ids.ts'
import { Quantity } from '../../schemas/quantity.ts'
import { exposed } from '../../shared/metrics/exposition.ts'
import { familiesOf } from '../../shared/metrics/families.ts'
import { readOpenMetrics } from '../support/open-metrics.ts'

describe('OpenMetrics 1.0, its ABNF and its rules on names', () => {
  test('whatever people call things, the names come back as they are', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: fc.constantFrom('"', '\\', '\n', 'n', '}', '{', ',', '=', ' ', 'ä', '🐢', '#') }),
        fc.string({ unit: 'grapheme' }),
        (name, other) => {
          const labels = { name, other: other.replaceAll('\0', '') }
          const given = { name: 'x', type: 'gauge', help: name, samples: [{ labels, value: 1 }] } as const
          const [read] = readOpenMetrics(exposed([given], 'openMetrics'))
          expect(read?.samples[0]?.labels).toEqual(labels)
          expect(read?.help).toBe(name)
        },
      ),
    )
  })

  test('every number comes back to the last digit', () => {
    fc.assert(
      fc.property(fc.double(), (value) => {
        const given = { name: 'x', type: 'gauge', help: 'X.', samples: [{ labels: {}, value }] } as const
        const [read] = readOpenMetrics(exposed([given], 'openMetrics'))
        expect(read?.samples[0]?.value).toBe(value === 0 ? 0 : value)
      }),
    )
  })

  test.each([
    ['no end', 'x 1\n'],
    [
      'a family in two parts',
      '# TYPE a gauge\n# HELP a A.\na 1\n# TYPE b gauge\n# HELP b B.\n# TYPE a gauge\n# EOF',
    ],
    ['a counter without its suffix', '# TYPE a counter\n# HELP a A.\na 1\n# EOF'],
    ['a unit that is not at the end', '# TYPE a gauge\n# UNIT a seconds\n# HELP a A.\na 1\n# EOF'],
    ['a quote that is not escaped', '# TYPE a gauge\n# HELP a A.\na{b="c"d"} 1\n# EOF'],
    ['an escape that is none', '# TYPE a gauge\n# HELP a A.\na{b="c\\d"} 1\n# EOF'],
    ['a comma at the end', '# TYPE a gauge\n# HELP a A.\na{b="c",} 1\n# EOF'],
    ['the same sample twice', '# TYPE a gauge\n# HELP a A.\na 1\na 1\n# EOF'],
    ['two spaces', '# TYPE a gauge\n# HELP a A.\na  1\n# EOF'],
    ['an empty line', '# TYPE a gauge\n# HELP a A.\na 1\n\n# EOF'],
  ])('the reader of the tests refuses %s', (_, text) => {
    expect(() => readOpenMetrics(text)).toThrow()
  })
})

test('X3: the largest household that may be set up stays within the bound that is said', () => {
  const now = instant(1_800_000_000_000)
  const place = { id: 'x', name: 'x', kind: 'fridge', parent: null, standing: 'safe' } as unknown as PlaceNow
  const edge = { value: 1 } as never
  const band = { lowCritical: edge, low: edge, high: edge, highCritical: edge }
  const largest = familiesOf({
    now,
    isPractice: false,
    sensors: Array.from({ length: 500 }, (_, i) => ({
      id: `sensor-${i}` as SensorId,
      name: 'x',
      place: null,
      values: Quantity.options.map((quantity) => ({ quantity, value: 1, at: now, isFresh: true })),
    })),
    places: Array.from({ length: 500 }, () => ({ ...place, bands: { temperature: band, humidity: band } })),
    alarms: [],
    readings: { stored: 0, doubted: 0, late: 0, setAside: 0, repeated: 0, messages: 0, refused: {} },
    outbox: { waiting: 0, oldest: null },
    broker: 'up',
    keeping,
    program: { startedAt: now, loopLag: millis(0), version: '1', node: '20' },
  })
  const samples = largest.reduce((sum, { samples }) => sum + samples.length, 0)
  expect(samples).toBeGreaterThan(20_000)
  expect(samples).toBeLessThan(20_080)
})

const keeping = KeepingNow.parse({
  database: {
    bytes: 1,
    isOnDisk: true,
    waiting: 0,
    everyReadingFrom: null,
    hourlyFrom: null,
    sentence: 'x',
  },
  disk: { freeBytes: 1, totalBytes: 2 },
  backups: {
    isOn: true,
    folder: 'x',
    at: '03:30',
    keep: 1,
    isRunning: false,
    sentence: null,
    failedSince: null,
    nextAt: null,
    list: [{ name: 'x', at: 0, bytes: 1 }],
  },
  clock: { isTrusted: true, sentence: null },
  upstream: {
    site: 'x',
    name: 'up',
    sentence: 'x',
    since: 0,
    retryAt: null,
    waiting: { readings: 0, hours: 0, alarmChanges: 0, oldest: null },
    sent: { readings: 0, alarmChanges: 0 },
    lastSentAt: 0,
  },
})
