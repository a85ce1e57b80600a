import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { aTortoise } from '../support/season-profiles.ts'
import { instant } from '../../schemas/amounts.ts'
import { shelfMinutes } from '../../web/alarms/shelf-minutes.ts'
import { codeFrom } from '../../web/door/code-from.ts'
import { isAbout } from '../../web/parts/problem-note.tsx'
import { query } from '../../web/page/ask.ts'
import { channelsOf, sensorFrom } from '../../web/set-up/claim.ts'
import { freeId } from '../../web/set-up/free-id.ts'
import { stepsOfCold } from '../../web/set-up/steps-of-cold.ts'
import { alarmDetail, stateWords } from '../../web/words/alarm-words.ts'
import { agoWords } from '../../web/words/ago.ts'
import { held } from '../../web/words/held.ts'
import { createTell } from '../../web/words/tell.ts'
import { inventedTruth } from '../support/web-fixture-curves.ts'
import { inventedHousehold, inventedSources } from '../support/web-fixture-house.ts'
import { sceneAlarms, sceneTonight } from '../support/web-fixture-scene.ts'

const now = instant(Date.parse('2027-01-13T03:07:00+01:00'))
const tell = createTell('en-GB')

describe('numbers and times on screen', () => {
  test('values carry a true minus, no minus nothing, and their unit', () => {
    expect(tell.value(-0.6, 'temperature')).toBe('−0.6\u202f°C')
    expect(tell.value(-0.04, 'temperature')).toBe('0.0\u202f°C')
    expect(tell.value(-0.05, 'temperature')).toBe('−0.1\u202f°C')
    expect(tell.value(81.6, 'humidity')).toBe('82\u202f%RH')
    expect([tell.value(1, 'door'), tell.value(0, 'door'), tell.value(0, 'power')]).toEqual([
      'open',
      'closed',
      'absent',
    ])
  })

  test("comma or point by the reader's locale", () => {
    expect(createTell('de-AT').value(4.55, 'temperature')).toMatch(/^4,[56]\u202f°C$/)
    expect(createTell('de-AT').when(now, now, 'Europe/Vienna')).toBe('03:07')
  })

  test('times are the place’s own, midnight is 00:00, and a day off brings the date', () => {
    expect(tell.clock(now, 'Europe/Vienna')).toBe('03:07')
    expect(tell.clock(now, 'Australia/Hobart')).toBe('13:07')
    expect(tell.clock(Date.parse('2027-01-12T23:00:00Z'), 'Europe/Vienna')).toBe('00:00')
    expect(tell.when(now - 86_399_999, now, 'Europe/Vienna')).toBe('03:07')
    expect(tell.when(now - 86_400_000, now, 'Europe/Vienna')).toBe('Tue 12 Jan, 03:07')
    expect(tell.date('2027-01-12')).toBe('Tue 12 Jan')
  })

  test('every temperature reads back as itself to a tenth', () => {
    fc.assert(
      fc.property(fc.double({ min: -60, max: 140, noNaN: true }), (celsius) => {
        const read = Number(tell.figure(celsius, 'temperature').replace('−', '-'))
        expect(Math.abs(read - celsius)).toBeLessThanOrEqual(0.05 + 1e-9)
      }),
    )
  })

  test('an age never runs backwards when a clock is a little behind', () => {
    expect([agoWords(-4000), agoWords(1999), agoWords(2000), agoWords(90_000)]).toEqual([
      'just now',
      'just now',
      '2 s ago',
      '2 min ago',
    ])
  })

  test('a number is held to its unit', () => {
    expect(held('1.0 °C or below for 1 min: now 4 %RH, 3 h ago')).toBe(
      '1.0\u00a0°C or below for 1\u00a0min: now 4\u00a0%RH, 3\u00a0h ago',
    )
    expect(held('box 3 stands')).toBe('box 3 stands')
  })
})

describe('alarms in words', () => {
  const alarms = sceneAlarms('alarm', now)
  const tonight = sceneTonight('alarm', inventedHousehold(now), alarms, new Map(), inventedTruth(null), now)
  const limit = alarms.find((alarm) => alarm.kind === 'limit')
  if (limit === undefined) throw new Error('the invented alarms have no limit among them')

  test('the limit, its delay and the value now; a stale value is never shown as now', () => {
    expect(alarmDetail(limit, tonight, now, tell)).toMatch(/^1\.0 °C or below for 1 min: now \d\.\d\u202f°C$/)
    const stale = {
      ...tonight,
      places: tonight.places.map((place) => ({
        ...place,
        values: place.values.map((value) => ({ ...value, fresh: false })),
      })),
    }
    expect(alarmDetail(limit, stale, now, tell)).toBe('1.0 °C or below for 1 min: no fresh value now')
  })

  test('a shelf says who, until when, why, and what still holds underneath', () => {
    const when = (at: number): string => tell.when(at, now, 'Europe/Vienna')
    expect(
      stateWords(
        {
          name: 'shelved',
          until: instant(now + 3_600_000),
          by: 'Robin',
          reason: 'cleaning',
          out: true,
          since: now,
        },
        when,
      ),
    ).toBe('Shelved until 04:07 by Robin: cleaning. It still holds.')
  })

  test('a high alarm is offered an hour of shelf at most, others eight (A2)', () => {
    expect(Math.max(...shelfMinutes('high'))).toBe(60)
    expect(Math.max(...shelfMinutes('medium'))).toBe(480)
  })
})

describe('set-up', () => {
  test('ids come from names and never take another’s', () => {
    expect(freeId('Low shelf', [])).toBe('low-shelf')
    expect(freeId('Low shelf', [{ id: 'low-shelf' }, { id: 'low-shelf-2' }])).toBe('low-shelf-3')
    fc.assert(
      fc.property(fc.string({ maxLength: 60 }), fc.integer({ min: 0, max: 12 }), (name, count) => {
        const taken: { id: string }[] = []
        for (let i = 0; i <= count; i += 1) taken.push({ id: freeId(name, taken) })
        expect(new Set(taken.map(({ id }) => id)).size).toBe(taken.length)
        for (const { id } of taken) expect(id).toMatch(/^[a-z0-9](?:[a-z0-9-]{0,38}[a-z0-9])?$/)
      }),
    )
  })

  test('an animal found in hold has a plan from noon of its day, woken after the usual weeks or on the day chosen', () => {
    const days = (wakeOn: string, hasWintered = true) =>
      stepsOfCold({ isInHold: true, since: '2026-12-01', wakeOn }, aTortoise, hasWintered, 'Europe/Vienna')
    const at = (text: string) => instant(Date.parse(text))
    expect(days('')).toEqual([
      { phase: 'hold', from: at('2026-12-01T11:00:00Z') },
      { phase: 'warmUp', from: at('2027-02-09T11:00:00Z') }, // ten weeks
      { phase: 'awake', from: at('2027-02-12T11:00:00Z') },
    ])
    expect(
      days('2027-03-28')
        ?.map(({ from }) => from)
        .slice(1),
    ).toEqual([at('2027-03-28T10:00:00Z'), at('2027-03-31T10:00:00Z')])
    const awake = { isInHold: false, since: '2026-12-01', wakeOn: '' }
    expect(days('', false)?.[1]?.from).toBe(at('2027-01-12T11:00:00Z')) // six weeks, the most for a first hold
    expect(stepsOfCold(awake, aTortoise, true, 'Europe/Vienna')).toBeNull()
  })

  test('a claim is filled in from the topic; one of several channels is named', () => {
    const house = inventedHousehold(now)
    const [porch, meter] = inventedSources(now)
    if (porch === undefined || meter === undefined) throw new Error('the invented sources are gone')
    expect(channelsOf(porch)).toEqual(['air', 'air-rh'])
    expect(sensorFrom(porch, 'air-rh', house)).toMatchObject({
      name: 'Air rh',
      channel: 'air-rh',
      topic: 'brumal/in/porch',
      place: null,
    })
    expect(channelsOf(meter)).toEqual([''])
    expect(sensorFrom(meter, '', house)).toMatchObject({ name: 'State', channel: '' })
  })

  test('an error finds its field by path, in whole steps only', () => {
    expect(isAbout('body/night/from', 'night.from')).toBe(true)
    expect(isAbout('body/ownLimits/0/value', 'ownLimits')).toBe(true)
    expect(isAbout('body/nameOf', 'name')).toBe(false)
  })

  test('the code is taken from the address, and absent parts of a query are left out', () => {
    expect([codeFrom('#code=7KQP-3MXD-9TRA'), codeFrom('')]).toEqual(['7KQP-3MXD-9TRA', ''])
    expect(query({ quantity: 'temperature', date: null })).toBe('?quantity=temperature')
    expect(query({ date: null })).toBe('')
  })
})
