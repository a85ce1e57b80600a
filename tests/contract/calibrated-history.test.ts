import { afterEach, beforeEach, expect, test } from 'vitest'
import { drawCurves } from '../../daemon/app/curves.ts'
import type { House } from '../../daemon/app/house.ts'
import type { Store } from '../../daemon/ports/store.ts'
import { hours, instant, later, minutes } from '../../schemas/amounts.ts'
import { Household } from '../../schemas/household.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import { houseOver } from '../support/house-over.ts'
import { simulatedTime } from '../support/simulated-time.ts'
import { midnight, openStore, probe, temporaryFolder } from '../support/store-world.ts'

/* The store keeps what a sensor said; judging and curves take the calibration of each reading's own time. */

const box = 'box' as PlaceId
/** Ten minutes into the fourth hour of the night. */
const corrected = later(midnight, hours(3) + minutes(10))
const offset = -1.25

const folder = { path: '', remove: () => {} }
let time: ReturnType<typeof simulatedTime>
let store: Store
let house: House

const householdWith = (calibrations: readonly object[]): Household =>
  Household.parse({
    version: 1,
    name: 'Ice bath house',
    timeZone: 'UTC',
    hemisphere: 'north',
    places: [
      {
        id: box,
        name: 'Box',
        kind: 'frame',
        ownLimits: [{ quantity: 'temperature', limit: 'low', value: 4, for: 60_000 }],
      },
    ],
    sensors: [{ id: probe, name: 'Probe', place: box, topic: 'cellar/probe', calibrations }],
  })

const icePoint = {
  from: corrected,
  quantity: 'temperature',
  offset,
  uncertainty: 0.05,
  references: [{ raw: 1.25, true: 0, uncertainty: 0.05 }],
  method: 'icePoint',
  by: 'Ada',
}

const open = () => houseOver(store, time, householdWith([]))

beforeEach(() => {
  Object.assign(folder, temporaryFolder())
  time = simulatedTime(midnight)
  store = openStore(folder.path).store
  house = open()
  house.commit()
})
afterEach(() => {
  house.close()
  store.close()
  folder.remove()
})

/** 5 °C each minute, as the sensor says it. */
async function passes(ms: number): Promise<void> {
  for (let passed = 0; passed < ms; passed += minutes(1)) {
    await time.pass(minutes(1))
    const at = time.clock.now()
    house.take(
      { kind: 'reading', heardAt: at, reading: { sensor: probe, quantity: 'temperature', at, value: 5 } },
      'soon',
    )
    house.take({ kind: 'timePassed', at }, 'group')
  }
  await time.settle()
}

const good = () => house.state().sensors[0]?.series.temperature?.good?.value
const isLow = () =>
  house.state().alarms.get('limit:box:temperature:low' as never)?.state.name === 'unacknowledged'
const curves = () => drawCurves({ house, store, clock: time.clock, pause: () => Promise.resolve() })

async function aNightWithACalibration(): Promise<void> {
  await passes(hours(3) + minutes(9))
  expect([good(), isLow()]).toEqual([5, false])
  house.rehouse(householdWith([icePoint]), {
    at: time.clock.now(),
    kind: 'changed',
    by: 'Ada',
    text: 'Ice point.',
  })
  await passes(minutes(5))
}

test('a reading is judged by the calibration of its own time: 5.0 °C that means 3.75 °C is too cold', async () => {
  await aNightWithACalibration()
  expect([good(), isLow()]).toEqual([3.75, true])
})

test('the store keeps what the sensor said, before the calibration and after', async () => {
  await aNightWithACalibration()
  const values = store
    .readings(probe, 'temperature', instant(0), later(midnight, hours(24)))
    .map(({ value }) => value)
  expect(new Set(values)).toEqual(new Set([5]))
})

test('L7: after a restart the same is judged, not a second correction', async () => {
  await aNightWithACalibration()
  house.close()
  house = open()
  expect([good(), isLow()]).toEqual([3.75, true])
})

test('the curve of the past stays as it was, and steps at the calibration', async () => {
  await aNightWithACalibration()
  const drawn = curves().series(probe, 'temperature', midnight, later(midnight, hours(4)), 1000)
  if (!drawn.ok) throw new Error(drawn.sentence)
  const { at, mean } = drawn.value.columns
  const of = (isAfter: boolean) =>
    new Set(mean.filter((value, i) => value !== null && (at[i] ?? 0) >= corrected === isAfter))
  expect(of(false)).toEqual(new Set([5]))
  expect(of(true)).toEqual(new Set([3.75]))
})

test.each(['as they came', 'folded into blocks'])(
  'a night in which it begins is summed up from both sides, its hours %s',
  async (how) => {
    await aNightWithACalibration()
    if (how === 'folded into blocks') {
      await passes(hours(2))
      house.fold()
      expect(store.unfolded()).toBeLessThan(130)
    }
    const winter = curves().winter(box, 'temperature', null)
    if (!winter.ok) throw new Error(winter.sentence)
    const [night] = winter.value.nights.filter(({ readings }) => readings > 0)
    expect(night).toMatchObject({ min: 3.75, max: 5 })
    const after = (night?.readings ?? 0) - 189 // one a minute for 3 h 9 min before
    expect(night?.mean).toBeCloseTo((189 * 5 + after * 3.75) / (night?.readings ?? 1), 9)
  },
)
