import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { makeListener, matchesFilter } from '../../daemon/mqtt/claim.ts'
import type { Packet, Settle } from '../../daemon/ports/broker.ts'
import type { Arrival } from '../../daemon/ports/intake.ts'
import { Sensor, TopicFilter } from '../../schemas/sensor.ts'
import { instant, millis } from '../../schemas/amounts.ts'

const now = instant(Date.UTC(2026, 0, 15, 3, 0, 0))
const clock = { now: () => now, uptime: () => millis(0) }

const sensor = (id: string, topic: string, more: object = {}): Sensor =>
  Sensor.parse({ id, name: id, place: null, topic, ...more })

/** A listener with these sensors, and what each packet arrives as. */
function listening(...sensors: Sensor[]) {
  const arrivals: { arrival: Arrival; settle: Settle }[] = []
  const listener = makeListener({ clock, intake: (arrival, settle) => arrivals.push({ arrival, settle }) })
  listener.useSensors(sensors)
  const hear = (topic: string, payload: unknown, more: Partial<Packet> = {}): Arrival => {
    const text = typeof payload === 'string' ? payload : JSON.stringify(payload)
    listener.onPacket({ topic, payload: Buffer.from(text), qos: 1, retained: false, ...more }, () => {})
    return arrivals.at(-1)!.arrival
  }
  return { listener, arrivals, hear }
}

const value = (id: string, celsius: number, at: number | null = null) => ({
  sensor: id,
  quantity: 'temperature',
  value: celsius,
  at,
})

describe('matching a topic filter (MQTT 3.1.1 §4.7, examples from memory)', () => {
  it.each([
    ['sport/tennis/player1/#', 'sport/tennis/player1', true],
    ['sport/tennis/player1/#', 'sport/tennis/player1/ranking', true],
    ['sport/tennis/player1/#', 'sport/tennis/player1/score/wimbledon', true],
    ['sport/tennis/player1/#', 'sport/tennis/player10', false],
    ['sport/#', 'sport', true],
    ['sport/#', 'sport/', true],
    ['sport/#', 'sports', false],
    ['#', 'sport/tennis', true],
    ['#', '/', true],
    ['sport/tennis/+', 'sport/tennis/player1', true],
    ['sport/tennis/+', 'sport/tennis/player1/ranking', false],
    ['sport/tennis/+', 'sport/tennis/', true],
    ['sport/+', 'sport', false],
    ['sport/+', 'sport/', true],
    ['+', '/finance', false],
    ['+/+', '/finance', true],
    ['/+', '/finance', true],
    ['+/tennis/#', 'sport/tennis', true],
    ['+/tennis/#', 'sport/tennis/player1', true],
    ['sport/+/player1', 'sport/tennis/player1', true],
    ['sport/+/player1', 'sport/tennis/tour/player1', false],
    ['#', '$SYS/uptime', false],
    ['+/monitor/Clients', '$SYS/monitor/Clients', false],
    ['+', '$SYS', false],
    ['$SYS/#', '$SYS/uptime', true],
    ['$SYS/#', '$SYS', true],
    ['$SYS/monitor/+', '$SYS/monitor/Clients', true],
    ['a/#', 'a/$b', true],
    ['ACCOUNTS', 'Accounts', false],
    ['a/b', 'a/b', true],
    ['a/b', 'a/b/c', false],
    ['a/b/c', 'a/b', false],
    ['a//b', 'a/b', false],
    ['a/+/b', 'a//b', true],
  ])('%s and %s: %s', (filter, topic, isMatch) => {
    expect(TopicFilter.safeParse(filter).success).toBe(true)
    expect(matchesFilter(filter, topic)).toBe(isMatch)
  })

  it('holds for every topic whose levels are replaced by + or cut off by #', () => {
    const level = fc.stringMatching(/^[a-z0-9 ]{0,4}$/)
    const topics = fc.array(level, { minLength: 1, maxLength: 8 }).filter((levels) => levels.join('/') !== '')
    fc.assert(
      fc.property(topics, fc.array(fc.boolean(), { maxLength: 8 }), fc.nat(8), (levels, replaced, cut) => {
        const topic = levels.join('/')
        const filter = levels.map((each, i) => (replaced[i] ? '+' : each))
        expect(matchesFilter(topic, topic)).toBe(true)
        expect(matchesFilter(filter.join('/'), topic)).toBe(true)
        expect(matchesFilter([...filter.slice(0, cut), '#'].join('/'), topic)).toBe(true)
        expect(matchesFilter([...filter, 'x'].join('/'), topic)).toBe(false)
        expect(matchesFilter([...filter.slice(0, -1), `${levels.at(-1)!}x`].join('/'), topic)).toBe(false)
      }),
    )
  })
})

describe('claiming', () => {
  const pack = [
    { bn: 'shelf:', n: 'temperature', u: 'Cel', v: 5 },
    { n: 'humidity', u: '%RH', v: 90 },
    { bn: 'door:', n: 'temperature', u: 'Cel', v: 7 },
  ]

  it('hands the packet on with what the claiming sensor hears in it', () => {
    const { hear, arrivals } = listening(sensor('probe', 'brumal/in/probe'))
    const arrival = hear('brumal/in/probe', [{ n: 'temperature', u: 'Cel', v: 5.06 }])
    expect(arrival).toEqual({
      topic: 'brumal/in/probe',
      payload: Buffer.from('[{"n":"temperature","u":"Cel","v":5.06}]'),
      retained: false,
      qos: 1,
      claimedBy: ['probe'],
      heard: [value('probe', 5.06)],
      found: [{ channel: '', quantity: 'temperature', value: 5.06, at: null }],
      refusal: null,
    })
    expect(arrivals).toHaveLength(1)
  })

  it("passes each packet's own settle on, unused, so that the broker is told after the commit", () => {
    const { listener, arrivals } = listening(sensor('probe', 'a'))
    const settled: string[] = []
    const payload = Buffer.from('{"temp":5}')
    listener.onPacket({ topic: 'a', payload, qos: 1, retained: false }, () => settled.push('first'))
    listener.onPacket({ topic: 'b', payload: Buffer.from(''), qos: 1, retained: false }, () =>
      settled.push('second'),
    )
    expect(settled).toEqual([])
    for (const { settle } of arrivals) settle(null)
    expect(settled).toEqual(['first', 'second'])
  })

  it('gives each sensor its own channel', () => {
    const { hear } = listening(
      sensor('shelf', 'box', { channel: 'shelf' }),
      sensor('door', 'box', { channel: 'door', decoder: { kind: 'senmlJson' } }),
    )
    const arrival = hear('box', pack)
    expect(arrival.claimedBy).toEqual(['shelf', 'door'])
    expect(arrival.heard).toEqual([
      value('shelf', 5),
      { sensor: 'shelf', quantity: 'humidity', value: 90, at: null },
      value('door', 7),
    ])
    expect(arrival.found).toHaveLength(3) // both ways of reading found the same
    expect(arrival.refusal).toBeNull()
  })

  it('takes for an empty channel the unnamed values, or the only channel there is', () => {
    const { hear } = listening(sensor('probe', 'box'))
    expect(hear('box', { temp: 5, shelf: { temp: 6 } }).heard).toEqual([value('probe', 5)])
    expect(hear('box', { shelf: { temp: 6, hum: 90 } }).heard).toEqual([
      value('probe', 6),
      { sensor: 'probe', quantity: 'humidity', value: 90, at: null },
    ])
    const ambiguous = hear('box', pack)
    expect(ambiguous.heard).toEqual([])
    expect(ambiguous.refusal).toBe('channelMissing')
    expect(ambiguous.found).toHaveLength(3)
  })

  it('says when the claimed channel is missing, unless another sensor heard its own', () => {
    const attic = sensor('attic', 'box', { channel: 'attic' })
    expect(listening(attic).hear('box', pack)).toMatchObject({ heard: [], refusal: 'channelMissing' })
    const both = listening(attic, sensor('shelf', 'box', { channel: 'shelf' })).hear('box', pack)
    expect(both.heard.map((heard) => heard.sensor)).toEqual(['shelf', 'shelf'])
    expect(both.refusal).toBeNull()
  })

  it('hears every record of a pack that was buffered, in order of time', () => {
    const { hear } = listening(sensor('probe', 'box'))
    const buffered = [
      { bn: 'temperature', bu: 'Cel', t: -1, v: 5.1 },
      { t: -61, v: 5.2 },
      { t: -121, v: 5.3 },
    ]
    expect(hear('box', buffered).heard).toEqual([
      value('probe', 5.3, now - 121_000),
      value('probe', 5.2, now - 61_000),
      value('probe', 5.1, now - 1000),
    ])
  })

  it('claims by wildcard, beside an exact claim, and never $ topics by a leading one (MQTT 3.1.1 §4.7.2)', () => {
    const { hear } = listening(
      sensor('exact', 'cellar/fridge/temp'),
      sensor('wild', 'cellar/+/temp'),
      sensor('all', '#'),
    )
    expect(hear('cellar/fridge/temp', '5').heard).toEqual([
      value('exact', 5),
      value('wild', 5),
      value('all', 5),
    ])
    expect(hear('cellar/box/temp', '5').claimedBy).toEqual(['wild', 'all'])
    expect(hear('cellar', '5').claimedBy).toEqual(['all'])
    expect(hear('$SYS/temp', '5').claimedBy).toEqual([])
  })

  it('reads a bare number by what its sensor says, or else its topic', () => {
    const { hear } = listening(
      sensor('told', 'x/y', { decoder: { kind: 'number', quantity: 'temperature', unit: 'fahrenheit' } }),
      sensor('hinted', 'x/temperature'),
      sensor('mute', 'x/z'),
    )
    expect(hear('x/y', '41').heard).toEqual([value('told', 5)])
    expect(hear('x/temperature', '5').heard).toEqual([value('hinted', 5)])
    expect(hear('x/z', '5')).toMatchObject({ claimedBy: ['mute'], heard: [], refusal: 'nothingRecognised' })
  })

  it('follows the claims when they change', () => {
    const { listener, hear } = listening(sensor('one', 'box'))
    expect(hear('box', '{"temp":5}').claimedBy).toEqual(['one'])
    listener.useSensors([sensor('two', 'box'), sensor('three', '+')])
    expect(hear('box', '{"temp":5}').claimedBy).toEqual(['two', 'three'])
    listener.useSensors([])
    expect(hear('box', '{"temp":5}').claimedBy).toEqual([])
  })

  it('offers what an unclaimed topic holds', () => {
    const { hear } = listening()
    expect(hear('shed/probe', { temperature: 5, battery: 80 })).toMatchObject({
      claimedBy: [],
      heard: [],
      found: [
        { channel: '', quantity: 'temperature', value: 5, at: null },
        { channel: '', quantity: 'battery', value: 80, at: null },
      ],
      refusal: null,
    })
    expect(hear('shed/temperature', '5').found).toHaveLength(1)
    expect(hear('shed/lamp', '5')).toMatchObject({ found: [], refusal: 'nothingRecognised' })
  })

  it('has no time for what a kept message says relative to now, and keeps its absolute time (L6)', () => {
    const { hear } = listening(sensor('probe', 'box'))
    const retained = { retained: true }
    expect(hear('box', [{ n: 'temp', u: 'Cel', v: 5, t: -60 }], retained)).toMatchObject({
      retained: true,
      heard: [value('probe', 5, null)],
    })
    expect(hear('box', [{ n: 'temp', u: 'Cel', v: 5, t: now / 1000 - 60 }], retained).heard).toEqual([
      value('probe', 5, now - 60_000),
    ])
  })

  it('names a deletion (an empty retained payload) as empty, claimed or not', () => {
    const { hear } = listening(sensor('probe', 'box'))
    expect(hear('box', '', { retained: true })).toMatchObject({
      claimedBy: ['probe'],
      heard: [],
      refusal: 'empty',
    })
    expect(hear('other', '', { retained: true })).toMatchObject({
      claimedBy: [],
      heard: [],
      refusal: 'empty',
    })
  })

  it.each([
    ['twelve levels', 'a/b/c/d/e/f/g/h/i/j/k/l', null],
    ['thirteen levels', 'a/b/c/d/e/f/g/h/i/j/k/l/m', 'badTopic'],
    ['200 bytes', 'a'.repeat(200), null],
    ['201 bytes', 'a'.repeat(201), 'badTopic'],
    ['201 bytes in 67 characters', '€'.repeat(67), 'badTopic'],
    ['198 bytes in 66 characters', '€'.repeat(66), null],
    ['a NUL', 'a\u0000b', 'badTopic'],
    ['a line feed', 'a\nb', 'badTopic'],
    ['a C1 control character', 'a\u0085b', 'badTopic'],
    ['a lone surrogate', 'a\ud800b', 'badTopic'],
    ['a wildcard', 'a/+', 'badTopic'],
    ['nothing', '', 'badTopic'],
    ['a thousand slashes', '/'.repeat(1000), 'badTopic'],
  ])('bounds the topic (X3): %s', (_, topic, refusal) => {
    const arrival = listening(sensor('all', '#')).hear(topic, { temp: 5 })
    expect(arrival.refusal).toBe(refusal)
    expect(arrival.claimedBy).toEqual(refusal === null ? ['all'] : [])
    expect(arrival.heard).toHaveLength(refusal === null ? 1 : 0)
  })

  it('stays right under a flood of topics beneath a wildcard (X3)', () => {
    const { hear } = listening(sensor('all', 'flood/#'), sensor('one', 'flood/7'))
    for (let round = 0; round < 2; round++) {
      for (let i = 0; i < 2500; i++) {
        expect(hear(`flood/${i}`, '{"temp":5}').claimedBy).toEqual(i === 7 ? ['one', 'all'] : ['all'])
      }
    }
  })

  it('arrives exactly once and without a throw for any topic and payload', () => {
    const { listener, arrivals } = listening(
      sensor('all', '#'),
      sensor('cbor', '+/+', { decoder: { kind: 'senmlCbor' } }),
    )
    fc.assert(
      fc.property(
        fc.string({ unit: 'binary' }),
        fc.uint8Array({ maxLength: 200 }),
        fc.boolean(),
        (topic, payload, retained) => {
          const before = arrivals.length
          listener.onPacket({ topic, payload, qos: 0, retained }, () => {})
          expect(arrivals.length).toBe(before + 1)
          const { arrival } = arrivals.pop()!
          expect(arrival.refusal === null).toBe(arrival.found.length > 0)
          arrivals.length = 0
        },
      ),
      { numRuns: 1000 },
    )
  })
})
