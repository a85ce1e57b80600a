import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Alarm } from '../../schemas/alarm.ts'
import type { Priority } from '../../schemas/band.ts'
import { Contact, usualTelling } from '../../schemas/contact.ts'
import type { AlarmId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import {
  nextTelling,
  nothingTold,
  type Say,
  stepTelling,
  type TellingEvent,
  type TellingRules,
} from '../../shared/telling/escalation.ts'

const people = ['ada', 'bela', 'cleo'].map((id) =>
  Contact.parse({
    id,
    name: id,
    channels: [{ id: `${id}-mail`, kind: 'mail', label: 'mail', address: `${id}@example.org` }],
  }),
)
const rules: TellingRules = { contacts: people, telling: usualTelling }
const s = (seconds: number): Instant => (1_000_000_000_000 + seconds * 1000) as Instant
const alarm = (priority: Priority, name = 'box'): Alarm => ({
  id: `limit:${name}:temperature:lowCritical` as AlarmId,
  kind: 'limit',
  place: null,
  sensor: null,
  quantity: 'temperature',
  limit: 'lowCritical',
  priority,
  occurrence: 1,
  value: 0.5,
  threshold: 1,
  state: { name: 'unacknowledged', since: s(0) },
})

function aTelling(using: TellingRules = rules) {
  let state = nothingTold
  const said: string[] = []
  let now = 0
  const take = (event: TellingEvent) => {
    const [next, says] = stepTelling(state, event, using)
    state = next
    for (const say of says) said.push(words(say))
  }
  const words = ({ what, contact, at }: Say) => `${(at - s(0)) / 60_000} ${what} ${contact}`
  const story = {
    get said(): readonly string[] {
      return said
    },
    get state() {
      return state
    },
    at(seconds: number) {
      for (; now < seconds; now += 30) take({ kind: 'timePassed', at: s(now), isMorning: false })
      now = seconds
      return story
    },
    rises: (one: Alarm) => (take({ kind: 'raised', alarm: one, at: s(now) }), story),
    comesBack: (one: Alarm) => (take({ kind: 'returned', alarm: one, at: s(now) }), story),
    isAnswered: (one: Alarm) => (take({ kind: 'settled', alarm: one, at: s(now) }), story),
    cannotReach: (contact: string, one: Alarm) => (
      take({ kind: 'undeliverable', alarm: one.id, contact: contact as never, at: s(now) }), story
    ),
    morning: () => (take({ kind: 'timePassed', at: s(now), isMorning: true }), story),
  }
  return story
}

describe('A4: high priority', () => {
  const high = alarm('high')

  test('rings the first contact at once, every three minutes, and the next contact at ten', () => {
    const telling = aTelling()
      .rises(high)
      .at(11 * 60)
    expect(telling.said).toEqual([
      '0 raised ada',
      '3 again ada',
      '6 again ada',
      '9 again ada',
      '10 again ada',
      '10 raised bela',
    ])
  })

  test('reaches the third contact at twenty minutes and goes on ringing all three', () => {
    const telling = aTelling()
      .rises(high)
      .at(24 * 60)
    expect(telling.said.slice(-4)).toEqual([
      '20 raised cleo',
      '23 again ada',
      '23 again bela',
      '23 again cleo',
    ])
  })

  test('an answer stops everything', () => {
    const telling = aTelling()
      .rises(high)
      .at(5 * 60)
      .isAnswered(high)
    const before = telling.said.length
    expect(telling.at(3600).said).toHaveLength(before)
  })

  test('coming back is told once, to those who were told', () => {
    const telling = aTelling()
      .rises(high)
      .at(11 * 60)
      .comesBack(high)
      .comesBack(high)
      .at(3600)
    expect(telling.said.slice(-2)).toEqual(['11 returned ada', '11 returned bela'])
  })

  test('a contact who cannot be reached passes it on at once', () => {
    const telling = aTelling().rises(high).at(60).cannotReach('ada', high)
    expect(telling.said).toEqual(['0 raised ada', '1 again ada', '1 raised bela'])
    expect(telling.cannotReach('ada', high).said).toHaveLength(3)
  })

  test('after an hour it rings every quarter of an hour, for as long as nobody answers', () => {
    const telling = aTelling({ ...rules, contacts: people.slice(0, 1) })
      .rises(high)
      .at(3 * 3600)
    const late = telling.said
      .filter((line) => Number(line.split(' ')[0]) > 60)
      .map((line) => Number(line.split(' ')[0]))
    expect(late.slice(1).map((at, i) => at - (late[i] ?? 0))).toEqual(late.slice(1).map(() => 15))
    expect(late.length).toBeGreaterThan(5)
  })

  test('without any contact nothing is sent, and nothing breaks', () => {
    expect(
      aTelling({ ...rules, contacts: [] })
        .rises(high)
        .at(3600)
        .comesBack(high).said,
    ).toEqual([])
  })
})

test('A4: medium is told once, and once more to everybody after two hours', () => {
  const telling = aTelling()
    .rises(alarm('medium'))
    .at(8 * 3600)
  expect(telling.said).toEqual(['0 raised ada', '120 again ada', '120 again bela', '120 again cleo'])
})

test('A4: low waits for the morning and is summed up once', () => {
  const telling = aTelling()
    .rises(alarm('low'))
    .rises(alarm('low', 'other'))
    .at(4 * 3600)
  expect(telling.said).toEqual([])
  expect(telling.morning().morning().said).toEqual(['240 summary ada'])
})

describe('A5: chattering and floods (ISA-18.2 figures, second-hand)', () => {
  const high = alarm('high')

  test('three raisings within a minute are one message that says so; the next ten minutes are quiet', () => {
    const telling = aTelling()
    for (const at of [0, 20, 40])
      telling
        .at(at)
        .rises(high)
        .at(at + 10)
        .comesBack(high)
    expect(telling.said.filter((line) => line.includes('chattering'))).toHaveLength(1)
    const before = telling.said.length
    for (const at of [60, 90, 120])
      telling
        .at(at)
        .rises(high)
        .at(at + 10)
        .comesBack(high)
    expect(telling.said).toHaveLength(before)
  })

  test('raisings at 0, 30 and 61 s are not chattering', () => {
    const telling = aTelling()
    for (const at of [0, 30, 61])
      telling
        .at(at)
        .rises(high)
        .at(at + 10)
        .comesBack(high)
    expect(telling.said.join()).not.toContain('chattering')
  })

  test('the eleventh alarm in ten minutes is a flood, told as one message; ten are not', () => {
    const ten = aTelling()
    for (let i = 0; i < 10; i++) ten.at(i * 50).rises(alarm('medium', `box-${i}`))
    expect(ten.said.join()).not.toContain('flood')
    expect(ten.at(500).rises(alarm('medium', 'box-10')).said.at(-1)).toMatch(/flood ada$/)
    const before = ten.said.length
    expect(ten.at(510).rises(alarm('high', 'box-11')).said).toHaveLength(before)
  })

  test('what nobody has answered when the flood is over is told on its own', () => {
    const telling = aTelling()
    for (let i = 0; i < 11; i++) telling.at(i * 10).rises(alarm('high', `box-${i}`))
    telling.at(30 * 60)
    expect(telling.said.filter((line) => line.includes('again')).length).toBeGreaterThan(11)
  })
})

test('no order of events forgets a high alarm that nobody has answered: something is due within a quarter of an hour', () => {
  const happening = fc.record({
    wait: fc.integer({ min: 0, max: 400 }),
    what: fc.constantFrom('raised', 'returned', 'settled', 'time', 'undeliverable'),
    which: fc.integer({ min: 0, max: 14 }),
    priority: fc.constantFrom<Priority>('high', 'medium', 'low'),
  })
  fc.assert(
    fc.property(fc.array(happening, { maxLength: 80 }), (happenings) => {
      let state = nothingTold
      let now = 0
      const open = new Set<string>()
      for (const { wait, what, which, priority } of happenings) {
        now += wait
        const one = alarm(priority, `box-${priority}-${which}`)
        const event: TellingEvent =
          what === 'time'
            ? { kind: 'timePassed', at: s(now), isMorning: false }
            : what === 'undeliverable'
              ? { kind: 'undeliverable', alarm: one.id, contact: 'ada' as never, at: s(now) }
              : { kind: what as 'raised', alarm: one, at: s(now) }
        if (what === 'raised' && priority === 'high') open.add(one.id)
        if (what === 'returned' || what === 'settled') open.delete(one.id)
        state = stepTelling(state, event, rules)[0]
      }
      if (open.size === 0) return
      expect(Object.keys(state.told)).toEqual(expect.arrayContaining([...open]))
      const next = nextTelling(state, rules)
      expect(next).not.toBeNull()
      expect((next ?? 0) - s(now)).toBeLessThanOrEqual(15 * 60_000)
    }),
  )
})
