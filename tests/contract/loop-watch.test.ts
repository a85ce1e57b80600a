import fc from 'fast-check'
import { expect, test } from 'vitest'
import { watchLoop } from '../../daemon/host/loop-watch.ts'
import { millis, seconds } from '../../schemas/amounts.ts'

const every = seconds(0.5)
const tolerated = seconds(10)

/** Ticks at these instants of a clock that never jumps; what each tick said. */
function ticksAt(instants: readonly number[]): readonly (number | null)[] {
  let now = 0
  const loop = watchLoop({ uptime: () => millis(now), every, tolerated })
  return instants.map((at) => {
    now = at
    return loop.tick()
  })
}

test('N1: a loop that stood still for more than 10 s is noticed, one that stood for 10 s is not', () => {
  expect(ticksAt([0, 500, 11_000])).toEqual([null, null, null])
  expect(ticksAt([0, 500, 11_001])).toEqual([null, null, 10_001])
})

test('N1: it is said once, and again when it happens again', () => {
  expect(ticksAt([0, 70_500, 71_000, 71_500, 102_000])).toEqual([null, 70_000, null, null, 30_000])
})

test('the first tick has nothing before it, however late it comes', () => {
  expect(ticksAt([3_600_000, 3_600_500])).toEqual([null, null])
})

test('N1: whatever the ticks, what is said is the time by which a tick was late, where that is more than 10 s', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 0, max: 60_000 }), { minLength: 1, maxLength: 50 }), (waits) => {
      let at = 0
      const said = ticksAt([0, ...waits.map((wait) => (at += wait))]).slice(1)
      expect(said).toEqual(waits.map((wait) => (wait - 500 > 10_000 ? wait - 500 : null)))
    }),
  )
})

test('the lag is the longest of the last minute or two, and goes when two have passed', () => {
  let now = 0
  const loop = watchLoop({ uptime: () => millis(now), every, tolerated })
  const tickFor = (ms: number) => {
    for (const end = now + ms; now < end; ) {
      now += 500
      loop.tick()
    }
  }
  expect(loop.lag()).toBe(0)
  tickFor(10_000)
  now += 300
  tickFor(500)
  expect(loop.lag()).toBe(300)
  tickFor(60_000)
  expect(loop.lag()).toBe(300)
  tickFor(60_000)
  expect(loop.lag()).toBe(0)
})
