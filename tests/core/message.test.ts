import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Alarm } from '../../schemas/alarm.ts'
import { hours, minutes } from '../../schemas/amounts.ts'
import type { AlarmId, ContactId, PlaceId } from '../../schemas/ids.ts'
import { Message, MessageKind } from '../../schemas/outbox.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { caution } from '../../shared/telling/first-thing.ts'
import { compose } from '../../shared/telling/message.ts'
import type { MessageWorld } from '../../shared/telling/message-world.ts'

/** 2026-01-11 02:12 UTC: 03:12 in Vienna, 20:12 of the evening before in Winnipeg. */
const raisedAt = Date.UTC(2026, 0, 11, 2, 12) as Instant
const now = (raisedAt + minutes(6)) as Instant

const cold: Alarm = {
  id: 'limit:juniper-box:temperature:lowCritical' as AlarmId,
  kind: 'limit',
  place: 'juniper-box' as PlaceId,
  sensor: null,
  contact: null,
  quantity: 'temperature',
  limit: 'lowCritical',
  priority: 'high',
  occurrence: 2,
  value: 0.4,
  threshold: 1,
  state: { name: 'unacknowledged', since: raisedAt },
}
const chilly: Alarm = { ...cold, limit: 'low', priority: 'medium', value: 2.8, threshold: 3 }

const world: MessageWorld = {
  names: { place: () => 'Juniper box', sensor: () => 'Box probe', contact: () => 'Ada' },
  kindOf: () => 'box',
  animalsIn: () => [
    { name: 'Tilda', common: 'Hermann’s tortoise' },
    { name: 'Moss', common: 'Hermann’s tortoise' },
  ],
  valueNow: () => 0.2,
  untilDanger: () => null,
  units: 'celsius',
  timeZone: 'Europe/Vienna',
  household: 'Lindenhaus',
  linkTo: (alarm) => (alarm === null ? 'https://house.example/alarms' : 'https://house.example/answer#seal'),
  acknowledgeLinkTo: () => 'https://house.example/answer?now#seal',
  ringLink: (isAtOnce) => `https://house.example/answer${isAtOnce ? '?now' : ''}#ring`,
  isPractice: false,
}
const say = (what: MessageKind, alarms: readonly Alarm[] = [cold]) => ({
  what,
  contact: 'ada' as ContactId,
  alarms,
  at: now,
})

describe('L9: an alarm that only the sensor’s uncertainty raised', () => {
  const unsure: Alarm = { ...cold, value: 1.5, guarded: 1.58 }

  test('says that it may be so, why it rings all the same, and how likely it is', () => {
    const { title, text } = compose(say('raised', [unsure]), { ...world, valueNow: () => 1.5 })
    expect(title).toBe('ALARM: Juniper box 1.5 °C, perhaps dangerously cold')
    expect(text.split('\n').slice(0, 3)).toEqual([
      'Juniper box may be dangerously cold at 1.5 °C (limit 1.0 °C).',
      'It rings from 1.6 °C on, for this sensor may be off: in about 4 of 100 such cases the truth is past the limit.',
      'This may be dangerous now: go and look.',
    ])
  })

  test('clear of it by now, it says that it was so, and when it ends', () => {
    const { title, text } = compose(say('again', [unsure]), { ...world, valueNow: () => 4 })
    expect(title).toBe('ALARM, still: Juniper box 1.5 °C, perhaps dangerously cold')
    expect(text.split('\n').slice(0, 4)).toEqual([
      'Juniper box may be dangerously cold at 1.5 °C (limit 1.0 °C).',
      'It rings from 1.6 °C on, for this sensor may be off, and ends once it has been clear of that for 3 h.',
      'Now 4.0 °C.',
      'It may be so again: go and look.',
    ])
  })

  test('once the value itself is past the limit, nothing is doubted any more', () => {
    const { title, text } = compose(say('again', [unsure]), { ...world, valueNow: () => 0.2 })
    expect(title).toBe('ALARM, still: Juniper box 0.2 °C, dangerously cold')
    expect(text.split('\n').slice(0, 2)).toEqual([
      'Juniper box is dangerously cold at 0.2 °C (limit 1.0 °C).',
      'This is dangerous now: go and look.',
    ])
  })
})

describe('A6: an alarm in words for somebody half asleep', () => {
  test('what, where, which animals, value and limit, since when, what to do first, and two links', () => {
    expect(compose(say('raised'), world)).toEqual({
      title: 'ALARM: Juniper box 0.4 °C, dangerously cold',
      text: [
        'Juniper box is dangerously cold at 0.4 °C (limit 1.0 °C).',
        'Now 0.2 °C.',
        'This is dangerous now: go and look.',
        'Since 03:12, 6 min ago.',
        'There: Tilda (Hermann’s tortoise), Moss (Hermann’s tortoise).',
        'First: Move the box to a cool room, about 5 to 10 °C. Do not warm the animal fast. Then look at the thermostat.',
        caution,
      ].join('\n'),
      priority: 'high',
      link: 'https://house.example/answer#seal',
      acknowledgeLink: 'https://house.example/answer?now#seal',
    })
  })

  test('in the contact’s own degrees and local time', () => {
    const there: MessageWorld = { ...world, units: 'fahrenheit', timeZone: 'America/Winnipeg' }
    const { title, text } = compose(say('raised'), there)
    expect(title).toBe('ALARM: Juniper box 32.7 °F, dangerously cold')
    expect(text).toContain('at 32.7 °F (limit 33.8 °F)')
    expect(text).toContain('Since 20:12, 6 min ago.')
  })

  test('how long until it is dangerous, where that can be said', () => {
    const soon: MessageWorld = { ...world, untilDanger: () => (hours(1) + minutes(20)) as Millis }
    const { title, text } = compose(say('raised', [chilly]), soon)
    expect(title).toBe('Look soon: Juniper box 2.8 °C, too cold')
    expect(text).toContain('At this pace it is dangerous in about 1 h 20 min.')
    expect(compose(say('raised', [chilly]), world).text).not.toContain('dangerous')
  })

  test('a repeat says that it is one; a value that has not moved is not said twice', () => {
    expect(compose(say('again'), world).title).toBe('ALARM, still: Juniper box 0.4 °C, dangerously cold')
    expect(compose(say('again'), { ...world, valueNow: () => 0.4 }).text).not.toContain('Now ')
  })

  test('what is over says since when, what it was, and asks for nothing', () => {
    const over = compose(
      say('returned', [
        { ...cold, state: { name: 'returnedUnacknowledged', since: raisedAt, returnedAt: now } },
      ]),
      { ...world, valueNow: () => 2.4 },
    )
    expect(over).toEqual({
      title: 'Over: Juniper box',
      text: 'Juniper box is all right again since 03:18. It was: dangerously cold. Now 2.4 °C.',
      priority: 'low',
      link: 'https://house.example/answer#seal',
      acknowledgeLink: null,
    })
  })

  test('somebody who cannot be reached', () => {
    const unreached: Alarm = {
      ...cold,
      id: 'undeliverable:ada' as AlarmId,
      kind: 'undeliverable',
      place: null,
      contact: 'ada' as ContactId,
      quantity: null,
      limit: null,
      priority: 'medium',
      value: null,
      threshold: null,
    }
    const { title, text } = compose(say('raised', [unreached]), world)
    expect(title).toBe('Look soon: Ada cannot be reached')
    expect(text).toContain('Ada cannot be reached by any channel.')
  })

  test('the invented household is never taken for a real one', () => {
    for (const what of MessageKind.options)
      expect(compose(say(what), { ...world, isPractice: true }).title).toMatch(/^Practice: /)
  })
})

describe('A5: many in one', () => {
  test('a flood is one message: how many, the worst first', () => {
    const many = [chilly, ...Array.from({ length: 11 }, () => cold)]
    const { title, text, priority } = compose(say('flood', many), world)
    expect(title).toBe('12 alarms at once')
    expect(text.split('\n')[1]).toContain('dangerously cold')
    expect(text).toContain('\n– ')
    expect(priority).toBe('high')
  })

  test('the end of a flood says what still stands, or that nothing does', () => {
    expect(compose(say('floodOver', []), world).title).toBe('Over: the many alarms')
    expect(compose(say('floodOver', [cold, chilly]), world).title).toBe('Fewer alarms now: 2 still stand')
  })

  test('chattering says so', () => {
    const { title, text } = compose(say('chattering'), world)
    expect(title).toMatch(/^ALARM, on and off: /)
    expect(text).toContain('three times within a minute')
  })
})

test('a ring test asks whether it rang, with the link that says so', () => {
  const { link, acknowledgeLink, priority, text } = compose(say('ring', []), world)
  expect([link, acknowledgeLink]).toEqual([
    'https://house.example/answer#ring',
    'https://house.example/answer?now#ring',
  ])
  expect(priority).toBe('high')
  expect(text).toContain('Lindenhaus')
})

test('whatever the names, every message keeps its bounds, and advice never goes without its caution (S6)', () => {
  fc.assert(
    fc.property(
      fc.string({ maxLength: 60 }),
      fc.constantFrom(...MessageKind.options),
      fc.integer({ min: 1, max: 60 }),
      (name, what, count) => {
        const names = { place: () => name, sensor: () => name, contact: () => name }
        const animals = Array.from({ length: count }, () => ({ name, common: name }))
        const message = compose(
          say(
            what,
            Array.from({ length: count }, () => cold),
          ),
          {
            ...world,
            names,
            household: name.slice(0, 60),
            animalsIn: () => animals,
          },
        )
        expect(Message.parse(message)).toEqual(message)
        if (message.text.includes('First:')) expect(message.text).toContain(caution)
      },
    ),
  )
})
