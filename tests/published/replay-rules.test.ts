import { describe, expect, test } from 'vitest'
import { constant, replay, replayText, type Sample, start } from '../support/replaying.ts'

const min = 60
const h = 3600

const limit = (yaml: string) => `limits:\n  - ${yaml}\n`
const events = (lines: readonly { s: number; event: string }[]) => lines.map((line) => [line.event, line.s])
const minuteSeries = (values: string): Sample[] =>
  values.split(' ').map((value, i) => [i * 60, Number(value)])

/*
 * Raise on the limit, clear through deadband and off-delay: the terms of OPC 10000-9 Annex B.1.5 (read) and
 * ISA-18.2 (second-hand). The instants are worked out by hand from those definitions.
 */
describe('a high limit of 8.0 with deadband and on-delay (OPC 10000-9 Annex B.1.5)', () => {
  const series = minuteSeries(
    '5.0 8.2 8.4 7.9 8.3 8.5 8.6 8.7 8.6 8.5 7.8 7.6 7.5 7.4 7.6 7.5 7.3 7.2 7.1 7.0 7.0',
  )
  const high = (more: string) => limit(`{ id: high, quantity: temperature, above: 8.0, ${more} }`)

  test('without deadband or delay it raises and returns twice', async () => {
    const lines = await replay(high('deadband: 0'), series)
    expect(events(lines)).toEqual([
      ['raised', 60],
      ['returned', 180],
      ['raised', 240],
      ['returned', 600],
    ])
  })

  test('a deadband of 0.5 makes one alarm of it', async () => {
    expect(events(await replay(high('deadband: 0.5'), series))).toEqual([
      ['raised', 60],
      ['returned', 720],
    ])
  })

  test('an on-delay of 300 s drops the first short run', async () => {
    expect(events(await replay(high('for: 300 s'), series))).toEqual([
      ['raised', 540],
      ['returned', 600],
    ])
  })
})

describe('compressor ripple of ±1.5 K round 5 °C in 40 min, sampled each minute, limit 6.4', () => {
  const ripple: Sample[] = Array.from({ length: 121 }, (_, i) => [
    i * 60,
    5 + 1.5 * Math.sin((2 * Math.PI * i * 60) / 2400),
  ])

  test('raises and returns each cycle without a delay', async () => {
    const lines = await replay(limit('{ id: high, quantity: temperature, above: 6.4 }'), ripple)
    expect(events(lines)).toEqual([
      ['raised', 480],
      ['returned', 780],
      ['raised', 2880],
      ['returned', 3180],
      ['raised', 5280],
      ['returned', 5580],
    ])
  })

  test('is quiet with an on-delay of 300 s: at equal instants the reading comes before the timer (L2)', async () => {
    expect(
      await replay(limit('{ id: high, quantity: temperature, above: 6.4, for: 300 s }'), ripple),
    ).toEqual([])
  })
})

describe('freezing, −0.5 °C or below for 60 min (WHO/PQS/E003+E006/DS01, second-hand)', () => {
  const freeze = limit('{ id: frze, quantity: temperature, atOrBelow: -0.5, for: 60 min }')

  test('−0.5 °C from the start alarms at 60 min: the limit itself is out', async () => {
    expect(events(await replay(freeze, constant(-0.5, 0, 90 * min)))).toEqual([['raised', 60 * min]])
  })

  test('−0.4 °C for five hours does not', async () => {
    expect(await replay(freeze, constant(-0.4, 0, 5 * h))).toEqual([])
  })

  test('back at 1.0 °C at the sixtieth minute does not: the reading comes before the timer', async () => {
    expect(
      await replay(freeze, [...constant(-0.5, 0, 50 * min), ...constant(1.0, 60 * min, 120 * min)]),
    ).toEqual([])
  })

  test('through the hour that the clocks skip, sixty minutes stay sixty minutes (tz database, Europe/Vienna 2026-03-29)', async () => {
    const rows = Array.from({ length: 10 }, (_, i) => {
      const at = new Date(Date.parse('2026-03-29T01:30:00+01:00') + i * 600_000)
      return `${at.toISOString()},probe,temperature,-1`
    })
    const lines = await replayText(freeze, ['at,sensor,quantity,value', ...rows].join('\n'))
    expect(lines.map((line) => line.at)).toEqual(['2026-03-29T01:30:00.000Z'])
  })

  test('every message doubled alarms at the same instant (L5)', async () => {
    const doubled = constant(-0.5, 0, 60 * min).flatMap((sample) => [sample, sample])
    expect(events(await replay(freeze, doubled))).toEqual([['raised', 60 * min]])
  })

  test('an instant with an offset and Unix seconds mean the same', async () => {
    const unix = start / 1000
    const rows = [
      `${unix},p,temperature,-1`,
      '2026-01-01T01:30:00+01:00,p,temperature,-1',
      `${unix + 3600},p,temperature,-1`,
    ]
    const lines = await replayText(freeze, ['at,sensor,quantity,value', ...rows].join('\n'))
    expect(lines.map((line) => line.at)).toEqual(['2026-01-01T01:00:00.000Z'])
  })
})

describe('warmth, above +8 °C for 10 h (WHO/PQS/E003+E006/DS01, second-hand)', () => {
  const heat = limit('{ id: heat, quantity: temperature, above: 8, for: 10 h }')

  test('8.0 °C for 20 h does not alarm: the limit itself is inside', async () => {
    expect(await replay(heat, constant(8.0, 0, 20 * h))).toEqual([])
  })

  test('8.1 °C alarms after 600 min', async () => {
    expect(events(await replay(heat, constant(8.1, 0, 11 * h)))).toEqual([['raised', 600 * min]])
  })

  test('a day of half an hour at 9.0 and half an hour at 7.5 never alarms', async () => {
    const day = Array.from({ length: 48 }, (_, i) =>
      constant(i % 2 === 0 ? 9.0 : 7.5, i * 30 * min, i * 30 * min + 20 * min),
    ).flat()
    expect(await replay(heat, day)).toEqual([])
  })
})

describe('shipping indicator type 2, cumulative (WHO note on 10-day electronic monitors, rev. 17 Jan 2009)', () => {
  test('10.0 °C alarms after 20 h: the limit itself counts', async () => {
    const rule = limit('{ id: c, quantity: temperature, atOrAbove: 10, for: 20 h, counting: cumulative }')
    expect(events(await replay(rule, constant(10, 0, 21 * h)))).toEqual([['raised', 20 * h]])
  })

  const b = limit('{ id: b, quantity: temperature, atOrAbove: 30, for: 10 h, counting: cumulative }')

  test('30.0 °C for 9 h 50 min and then 20 °C does not alarm', async () => {
    expect(await replay(b, [...constant(30, 0, 580 * min), ...constant(20, 590 * min, 900 * min)])).toEqual(
      [],
    )
  })

  test('time out adds up over breaks: 6 h, a cool hour, and 4 h more alarm at the tenth hour out', async () => {
    const series = [
      ...constant(30, 0, 350 * min),
      ...constant(20, 360 * min, 410 * min),
      ...constant(30, 420 * min, 700 * min),
    ]
    expect(events(await replay(b, series))).toEqual([['raised', 11 * h]])
  })
})

describe('door open for more than 5 min (WHO/PQS/E003+E006/DS01, second-hand)', () => {
  const door = limit('{ id: door, quantity: door, atOrAbove: 1, for: 300 s }')

  test('open from 100 to 400 s does not alarm: closing at 300 s comes before the timer', async () => {
    const series: Sample[] = [
      [0, 0],
      [100, 1],
      [400, 0],
      [1000, 0],
    ]
    expect(await replay(door, series, { quantity: 'door' })).toEqual([])
  })

  test('still open alarms at 400 s, between readings (L2)', async () => {
    const series: Sample[] = [
      [0, 0],
      [100, 1],
      [900, 1],
    ]
    expect(events(await replay(door, series, { quantity: 'door' }))).toEqual([['raised', 400]])
  })

  test('open over the edge of two 15-minute records alarms 100 s into the second', async () => {
    const series: Sample[] = [
      [0, 0],
      [700, 1],
      [1050, 0],
      [1800, 0],
    ]
    expect(events(await replay(door, series, { quantity: 'door' }))).toEqual([
      ['raised', 1000],
      ['returned', 1050],
    ])
  })
})

describe('silence (L4)', () => {
  const rules = `stale: 20 min\n${limit('{ id: cold, quantity: temperature, below: -0.5, for: 60 min }')}`

  test('a sensor that falls silent while its delay runs raises at once', async () => {
    const lines = await replay(rules, [
      [0, -0.6],
      [600, -0.6],
      [7200, -0.6],
    ])
    expect(events(lines)).toEqual([
      ['raised', 1800],
      ['silent', 1800],
      ['heard', 7200],
    ])
  })

  test('silence never ends an alarm', async () => {
    const lines = await replay(rules, [...constant(-0.6, 0, 60 * min), [4 * h, 3]])
    expect(events(lines)).toEqual([
      ['raised', 60 * min],
      ['silent', 80 * min],
      ['heard', 4 * h],
      ['returned', 4 * h],
    ])
  })
})
