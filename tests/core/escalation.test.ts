import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Alarm } from '../../schemas/alarm.ts'
import type { Priority } from '../../schemas/band.ts'
import { Contact, usualTelling } from '../../schemas/contact.ts'
import type { AlarmId, ContactId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import type { TellingRules } from '../../shared/telling/audience.ts'
import { stepTelling, type TellingEvent } from '../../shared/telling/escalation.ts'
import { nothingTold, type Say } from '../../shared/telling/telling-state.ts'

const people = ['ada', 'bela', 'cleo'].map((id) =>
  Contact.parse({
    id,
    name: id,
    channels: [{ id: `${id}-mail`, kind: 'mail', label: 'mail', address: `${id}@example.org` }],
  }),
)
const rules: TellingRules = { contacts: people, outOfReach: new Set(), telling: usualTelling }
const noMorning = 0 as Instant
const s = (seconds: number): Instant => (1_000_000_000_000 + seconds * 1000) as Instant
const alarm = (priority: Priority, name = 'box'): Alarm => ({
  id: `limit:${name}:temperature:lowCritical` as AlarmId,
  kind: 'limit',
  place: null,
  sensor: null,
  contact: null,
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
      for (; now < seconds; now += 30) take({ kind: 'timePassed', at: s(now), morning: noMorning })
      now = seconds
      return story
    },
    rises: (one: Alarm) => (take({ kind: 'raised', alarm: one, at: s(now) }), story),
    comesBack: (one: Alarm) => (take({ kind: 'returned', alarm: one, at: s(now) }), story),
    isAnswered: (one: Alarm) => (take({ kind: 'answered', alarm: one.id }), story),
    isHidden: (one: Alarm) => (take({ kind: 'forgotten', alarm: one.id }), story),
    cannotReach: (contact: string) => (
      take({ kind: 'outOfReach', contact: contact as ContactId, at: s(now) }), story
    ),
    morning: (seconds: number) => (take({ kind: 'timePassed', at: s(now), morning: s(seconds) }), story),
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

  test('after an answer nobody rings again, and whoever was told hears once that it is over', () => {
    const telling = aTelling().rises(high).at(60).isAnswered(high).at(3600).comesBack(high).comesBack(high)
    expect(telling.said).toEqual(['0 raised ada', '60 returned ada'])
  })

  test('what was hidden ends without a word', () => {
    expect(aTelling().rises(high).isHidden(high).at(3600).comesBack(high).said).toEqual(['0 raised ada'])
  })

  test('raised anew after an answer, it begins again with the first contact', () => {
    const telling = aTelling()
      .rises(high)
      .at(11 * 60)
      .isAnswered(high)
    const before = telling.said.length
    expect(
      telling
        .rises(high)
        .at(14 * 60)
        .said.slice(before),
    ).toEqual(['11 raised ada'])
    expect(telling.at(14 * 60 + 30).said.slice(before)).toEqual(['11 raised ada', '14 again ada'])
  })

  test('a contact who cannot be reached passes it on at once', () => {
    const telling = aTelling().rises(high).at(60).cannotReach('ada')
    expect(telling.said).toEqual(['0 raised ada', '1 raised bela'])
    expect(telling.cannotReach('ada').said).toHaveLength(2)
    expect(telling.cannotReach('bela').said.at(-1)).toBe('1 raised cleo')
  })

  test('while the first is out of reach the next is told at the same time', () => {
    const some = { ...rules, outOfReach: new Set(['ada', 'bela'] as ContactId[]) }
    expect(aTelling(some).rises(high).said).toEqual(['0 raised ada', '0 raised bela', '0 raised cleo'])
    const all = { ...rules, outOfReach: new Set(['ada', 'bela', 'cleo'] as ContactId[]) }
    expect(aTelling(all).rises(high).said).toHaveLength(3)
  })

  test('the one who cannot be reached is not the one to be told of it', () => {
    const unreached: Alarm = {
      ...alarm('medium'),
      id: 'undeliverable:ada' as AlarmId,
      kind: 'undeliverable',
      contact: 'ada' as ContactId,
    }
    expect(
      aTelling()
        .rises(unreached)
        .at(3 * 3600).said,
    ).toEqual(['0 raised bela', '120 again bela', '120 again cleo'])
    expect(
      aTelling({ ...rules, contacts: people.slice(0, 1) })
        .rises(unreached)
        .at(3 * 3600).said,
    ).toEqual([])
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

  test('N3: a clock set back by hours silences nothing: the next repeat comes three minutes later', () => {
    const [rung] = stepTelling(nothingTold, { kind: 'raised', alarm: high, at: s(10_000) }, rules)
    let state = rung
    const said: string[] = []
    for (let now = 1000; now <= 1000 + 11 * 60; now += 30) {
      const [next, says] = stepTelling(state, { kind: 'timePassed', at: s(now), morning: noMorning }, rules)
      state = next
      for (const { what, contact } of says) said.push(`${(now - 1000) / 60} ${what} ${contact}`)
    }
    expect(said).toEqual(['3 again ada', '6 again ada', '9 again ada', '10 again ada', '10 raised bela'])
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

test('A4: low waits for the morning and is summed up once; what comes at that instant waits for the next', () => {
  const telling = aTelling()
    .rises(alarm('low'))
    .rises(alarm('low', 'other'))
    .at(3 * 3600)
    .morning(0)
  expect(telling.said).toEqual([])
  telling.rises(alarm('low', 'third')).morning(3 * 3600)
  expect(telling.morning(3 * 3600).said).toEqual(['180 summary ada'])
  expect(telling.morning(3 * 3600 + 1).said).toEqual(['180 summary ada', '180 summary ada'])
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

  test('one that chatters and then stays out is rung again after three minutes', () => {
    const telling = aTelling()
    for (const at of [0, 20, 40])
      telling
        .at(at)
        .rises(high)
        .at(at + 10)
        .comesBack(high)
    const before = telling.said.length
    telling.at(60).rises(high).at(300)
    expect(telling.said.slice(before)).toEqual(['4 again ada'])
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
    expect(telling.said.filter((line) => line.includes('floodOver'))).toHaveLength(1)
    expect(telling.said.filter((line) => line.includes('again')).length).toBeGreaterThan(11)
  })

  test('a flood whose first contact cannot be reached goes to the next at once', () => {
    const telling = aTelling()
    for (let i = 0; i < 11; i++) telling.at(i * 10).rises(alarm('high', `box-${i}`))
    const before = telling.said.length
    expect(
      telling
        .cannotReach('ada')
        .said.slice(before)
        .filter((line) => line.includes('flood')),
    ).toHaveLength(1)
  })
})

test('no order of events forgets a high alarm that nobody has answered: it rings again within half an hour', () => {
  const happening = fc.record({
    wait: fc.integer({ min: 0, max: 400 }),
    what: fc.constantFrom('raised', 'returned', 'answered', 'forgotten', 'time', 'outOfReach'),
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
            ? { kind: 'timePassed', at: s(now), morning: noMorning }
            : what === 'outOfReach'
              ? { kind: 'outOfReach', contact: 'ada' as ContactId, at: s(now) }
              : what === 'answered' || what === 'forgotten'
                ? { kind: what, alarm: one.id }
                : { kind: what as 'raised', alarm: one, at: s(now) }
        if (what === 'raised' && priority === 'high') open.add(one.id)
        if (what === 'returned' || what === 'answered' || what === 'forgotten') open.delete(one.id)
        state = stepTelling(state, event, rules)[0]
      }
      const rung = new Set<string>()
      let isFlood = state.flood !== null
      for (const end = now + 31 * 60; now < end; now += 30) {
        const [next, says] = stepTelling(state, { kind: 'timePassed', at: s(now), morning: noMorning }, rules)
        state = next
        for (const say of says) for (const { id } of say.alarms) rung.add(id)
        isFlood ||= state.flood !== null
      }
      // A flood's own message names them while it lasts, ten to fifteen minutes.
      expect([...rung], isFlood ? 'in a flood' : 'alone').toEqual(expect.arrayContaining([...open]))
    }),
  )
})
