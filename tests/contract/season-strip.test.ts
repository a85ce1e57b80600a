import { afterEach, beforeEach, expect, test } from 'vitest'
import { drawCurves } from '../../daemon/app/curves.ts'
import type { House } from '../../daemon/app/house.ts'
import type { Store } from '../../daemon/ports/store.ts'
import { days, hours, later, minutes } from '../../schemas/amounts.ts'
import { Winter } from '../../schemas/api.ts'
import { Household } from '../../schemas/household.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import { houseOver } from '../support/house-over.ts'
import { simulatedTime } from '../support/simulated-time.ts'
import { midnight, openStore, probe, temporaryFolder } from '../support/store-world.ts'

/* The strip of a winter is made of the hours that the store keeps, whether they are still single readings or folded. */

const box = 'box' as PlaceId
const household = Household.parse({
  version: 1,
  name: 'Strip house',
  timeZone: 'UTC',
  hemisphere: 'north',
  night: { from: '00:00', to: '12:00' },
  places: [
    {
      id: box,
      name: 'Box',
      kind: 'frame',
      ownLimits: [
        { quantity: 'temperature', limit: 'lowCritical', value: 1, for: 60_000 },
        { quantity: 'temperature', limit: 'low', value: 4, for: 60_000 },
      ],
    },
  ],
  sensors: [{ id: probe, name: 'Probe', place: box, topic: 'cellar/probe' }],
})

const folder = { path: '', remove: () => {} }
let time: ReturnType<typeof simulatedTime>
let store: Store
let house: House

beforeEach(() => {
  Object.assign(folder, temporaryFolder())
  time = simulatedTime(midnight)
  store = openStore(folder.path).store
  house = houseOver(store, time, household)
  house.commit()
})
afterEach(() => {
  house.close()
  store.close()
  folder.remove()
})

/** A reading each five minutes, by turns a little higher, for a sensor that never moves is stuck; null says nothing. */
const every = minutes(5)

async function passes(ms: number, value: number | null): Promise<void> {
  for (let passed = 0; passed < ms; passed += every) {
    await time.pass(every)
    const at = time.clock.now()
    const wobble = (passed / every) % 2 === 0 ? 0 : 0.02
    if (value !== null)
      house.take(
        {
          kind: 'reading',
          heardAt: at,
          reading: { sensor: probe, quantity: 'temperature', at, value: value + wobble },
        },
        'soon',
      )
    house.take({ kind: 'timePassed', at }, 'group')
  }
  await time.settle()
}

function winterNow(season: string | null = null): Winter {
  const curves = drawCurves({ house, store, clock: time.clock, pause: () => Promise.resolve() })
  const answer = curves.winter(box, 'temperature', season)
  if (!answer.ok) throw new Error(answer.sentence)
  return Winter.parse(answer.value)
}

test.each(['as they came', 'folded into blocks'])(
  'L1, L2: a night hour by hour, with its gap and its alarms, its hours %s',
  async (how) => {
    await passes(hours(2) - every, 5)
    await passes(hours(1), 3.94)
    await passes(hours(1), 0.5)
    await passes(hours(1), 5)
    await passes(hours(3), null)
    await passes(hours(2), 6)
    if (how === 'folded into blocks') {
      await passes(hours(2), 6)
      house.fold()
    }
    const { nights, strip } = winterNow()
    const [hoursOfNight] = strip.hours
    expect(hoursOfNight?.slice(0, 10)).toBe('iilLi...ii')
    expect(strip.low[0]?.slice(0, 10)).toEqual([5, 5, 3.9, 0.5, 5, null, null, null, 6, 6])
    expect(Math.min(...(strip.low[0] ?? []).filter((value) => value !== null))).toBe(nights[0]?.min)
    expect(strip.gaps).toBe(1)
    const raised = strip.raised.map(({ at, priority }) => [(at - midnight) / hours(1), priority] as const)
    expect(raised.length).toBeGreaterThanOrEqual(2)
    expect(raised[0]?.[0]).toBeGreaterThan(2)
    expect(raised.some(([, priority]) => priority === 'high')).toBe(true)
    expect(raised.map(([at]) => at)).toEqual(raised.map(([at]) => at).toSorted((a, b) => a - b))
  },
)

test('X3: each column of the answer is as long as its list of nights, and a place never heard has none', async () => {
  expect(winterNow()).toMatchObject({ nights: [], strip: { hours: [], low: [], high: [], gaps: 0 } })
  await passes(hours(26), 5)
  const { nights, strip } = winterNow()
  expect(nights.map(({ date }) => date)).toHaveLength(3)
  expect([strip.hours.length, strip.low.length, strip.high.length]).toEqual([3, 3, 3])
  // Newest first, like the nights: of the one now running only its past is known
  expect(strip.hours).toEqual(['iii.........', 'iiiiiiiiiiii', '............'])
  expect(later(nights[1]?.from ?? midnight, hours(12))).toBe(nights[1]?.to)
  expect(JSON.stringify(strip).length).toBeLessThan(500)
})

test('whoever asks for no season gets the newest of which there are readings', async () => {
  expect(winterNow()).toMatchObject({ season: '2025/26', seasons: ['2025/26'] })
  await passes(hours(26), 5)
  await time.pass(days(400))
  const { season, seasons, nights } = winterNow()
  expect([season, seasons, nights.length]).toEqual(['2025/26', ['2026/27', '2025/26'], 3])
  expect(winterNow('2026/27').nights).toEqual([])
  await passes(hours(1), 5)
  expect(winterNow().season).toBe('2026/27')
})
