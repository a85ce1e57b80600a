import fc from 'fast-check'
import { expect, test } from 'vitest'
import { matchesFilter } from '../../daemon/mqtt/topic-filter.ts'
import { Device } from '../../schemas/access.ts'
import { isOurTopic, takesInReserved } from '../../schemas/own-topics.ts'

test.each([
  ...[
    '#',
    '+/#',
    'brumal/#',
    '+/alarm',
    '+/alarm/x',
    'brumal/+',
    'brumal/+/#',
    '+/+',
    '+/+/state',
    'brumal/alarm',
    'brumal/alarm/#',
  ],
  ...['brumal/alarm/x/y', 'brumal/status', 'brumal/status/x', 'brumal/status/#', '$SYS/#', '$x', '$'],
])('X2: %s takes in a topic that no device may publish to', (filter) => {
  expect(takesInReserved(filter)).toBe(true)
})

test.each([
  ...[
    '+',
    'brumal',
    'brumal/in/#',
    'brumal/in/+',
    'brumal/alarms',
    'brumal/alarms/#',
    'brumal/status2',
    'x/brumal/alarm',
    '/brumal/alarm',
  ],
  ...['Brumal/alarm', 'brumal//alarm', 'tele/+/SENSOR', 'tele/#', '+/x', 'brumal/x/alarm', 'x/$SYS', ''],
])('X2: “%s” takes in none', (filter) => {
  expect(takesInReserved(filter)).toBe(false)
})

const level = fc.constantFrom('brumal', 'alarm', 'status', 'in', 'x', '', '$SYS')
const filter = fc
  .tuple(fc.array(fc.oneof(level, fc.constant('+')), { maxLength: 4 }), fc.boolean())
  .map(([levels, isDeep]) => [...levels, ...(isDeep ? ['#'] : [])].join('/'))
const topic = fc.array(level, { minLength: 1, maxLength: 5 }).map((levels) => levels.join('/'))

test('X2: a filter that takes in no reserved topic matches none (MQTT 3.1.1 §4.7)', () => {
  let matched = 0
  fc.assert(
    fc.property(filter, topic, (some, one) => {
      if (!(isOurTopic(one) || one.startsWith('$')) || !matchesFilter(some, one)) return
      matched += 1
      expect(takesInReserved(some)).toBe(true)
    }),
    { numRuns: 20_000 },
  )
  expect(matched).toBeGreaterThan(50)
}, 60_000)

test('X2: a filter is refused only where there is a topic that it must not have', () => {
  fc.assert(
    fc.property(filter, (some) => {
      if (!takesInReserved(some) || some.startsWith('$')) return
      const candidates = ['alarm', 'status'].map((branch) => {
        const levels = some.split('/').map((one, i) => (one === '+' ? (['brumal', branch][i] ?? 'x') : one))
        const open =
          levels.at(-1) === '#'
            ? [...levels.slice(0, -1), ...['brumal', branch].slice(levels.length - 1)]
            : levels
        return open.join('/')
      })
      expect(candidates.some((one) => isOurTopic(one) && matchesFilter(some, one))).toBe(true)
    }),
    { numRuns: 5000 },
  )
}, 60_000)

test('X2: a device is refused for what is wrong with it, at the place where it is wrong', () => {
  const mistakes = (device: object) =>
    Device.safeParse({ name: 'probe', kind: 'sensor', topics: [], ...device }).error?.issues.map(({ path }) =>
      path.join('.'),
    ) ?? []
  expect(mistakes({})).toEqual([])
  expect(mistakes({ topics: ['tele/+/SENSOR', 'shed/#'] })).toEqual([])
  expect(mistakes({ topics: ['shed/#', '#', 'brumal/+'] })).toEqual(['topics.1', 'topics.2'])
  expect(mistakes({ topics: ['shed/\nuser x'] })).toEqual(['topics.0'])
  expect(mistakes({ name: 'sensors' })).toEqual(['name'])
  expect(mistakes({ name: 'sensors2' })).toEqual([])
  expect(mistakes({ kind: 'signal', topics: ['shed/#'] })).toEqual(['topics'])
  expect(mistakes({ kind: 'signal' })).toEqual([])
})
