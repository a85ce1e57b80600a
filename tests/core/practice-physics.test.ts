import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { Scenario } from '../../schemas/scenario.ts'
import { celsius, hours, instant } from '../../schemas/amounts.ts'
import { saturationOverIce, saturationOverWater } from '../../shared/air/psychrometrics.ts'
import { nextNoise } from '../../daemon/practice/drifting-noise.ts'
import { createWorld, type Conditions, type WorldState } from '../../daemon/practice/physics.ts'
import { seededRandom, xoshiro128 } from '../../daemon/practice/random.ts'
import { simulate } from '../../daemon/practice/simulate.ts'
import { thermalStep, type ThermalNetwork } from '../../daemon/practice/thermal-network.ts'
import { newtonCooling } from '../support/newton-cooling.ts'

describe('lumped capacitance', () => {
  test.each(newtonCooling)(
    'a box of τ $tau h in a room at $room °C is at $to °C after $takes h',
    ({ tau, room, to, takes }) => {
      const box: ThermalNetwork = {
        capacities: [tau * 3600],
        fixed: 1,
        links: [{ between: [0, 1], conductance: 1 }],
      }
      expect(crossing(box, [5], room, 0, to)).toBeCloseTo(takes, 4)
    },
  )

  test('is solved to ten digits for any step, from a hundredth of the time constant to fifty of them', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 50, noNaN: true }),
        fc.double({ min: -20, max: 35, noNaN: true }),
        (share, room) => {
          const box: ThermalNetwork = {
            capacities: [20_000],
            fixed: 1,
            links: [{ between: [0, 1], conductance: 2 }],
          }
          const [after] = thermalStep(box, share * 10_000)([5], [room], [0])
          expect(Math.abs((after ?? Number.NaN) - (room + (5 - room) * Math.exp(-share)))).toBeLessThan(1e-9)
        },
      ),
    )
  })

  test('Çengel example 4-1: a bead with b = 0.4632 1/s has done 99 % of its way after 9.94 s (problem data from memory)', () => {
    const b = (6 * 210) / (8500 * 320 * 0.001) // h·A/(ρ·V·c) of a sphere of 1 mm
    const bead: ThermalNetwork = { capacities: [1], fixed: 1, links: [{ between: [0, 1], conductance: b }] }
    expect(b).toBeCloseTo(0.4632, 4)
    expect(thermalStep(bead, 9.94)([0], [100], [0])[0]).toBeCloseTo(99, 1)
  })

  test('10 kg of water at 1 W/K in a room at 20 °C warm from 5 to 8 °C in 2.595 h (calculated)', () => {
    const water: ThermalNetwork = {
      capacities: [41_860],
      fixed: 1,
      links: [{ between: [0, 1], conductance: 1 }],
    }
    expect(crossing(water, [5], 20, 0, 8)).toBeCloseTo(2.595, 3)
  })
})

describe('two nodes: the air of a fridge and what is in it, after the power fails (exact eigen-solution, calculated)', () => {
  const fridge: ThermalNetwork = {
    capacities: [2000, 41_860],
    fixed: 1,
    links: [
      { between: [0, 2], conductance: 1 },
      { between: [0, 1], conductance: 2 },
    ],
  }

  test.each([
    { minutes: 10, air: 7.9755, product: 5.0484 },
    { minutes: 60, air: 10.329, product: 5.6736 },
    { minutes: 180, air: 11.3732, product: 7.1943 },
    { minutes: 360, air: 12.7101, product: 9.1789 },
    { minutes: 720, air: 14.7945, product: 12.273 },
    { minutes: 1440, air: 17.3458, product: 16.06 },
  ])('after $minutes min the air is at $air and the product at $product °C', ({ minutes, air, product }) => {
    const inOneStep = thermalStep(fridge, minutes * 60)([5, 5], [20], [0, 0])
    expect(inOneStep[0]).toBeCloseTo(air, 4)
    expect(inOneStep[1]).toBeCloseTo(product, 4)
  })

  test('the air passes 8 °C after 0.169 h, the product only after 4.158 h', () => {
    expect(crossing(fridge, [5, 5], 20, 0, 8)).toBeCloseTo(0.169, 3)
    expect(crossing(fridge, [5, 5], 20, 1, 8)).toBeCloseTo(4.158, 3)
  })

  test('many small steps end where one long step does: the step adds no error', () => {
    const second = thermalStep(fridge, 1)
    let nodes = [5, 5]
    for (let i = 0; i < 3600; i++) nodes = second(nodes, [20], [0, 0])
    expect(nodes[0]).toBeCloseTo(10.329, 4)
    expect(nodes[1]).toBeCloseTo(5.6736, 4)
  })
})

describe('heat', () => {
  test('without a way out it is neither lost nor made', () => {
    fc.assert(
      fc.property(anyNetwork(0), fc.integer({ min: 1, max: 36_000 }), ({ network, celsius }, seconds) => {
        const before = heat(network, celsius)
        const after = heat(
          network,
          thermalStep(network, seconds)(
            celsius,
            [],
            celsius.map(() => 0),
          ),
        )
        expect(Math.abs(after - before)).toBeLessThan(1e-7 * (1 + Math.abs(before)))
      }),
    )
  })

  test('what is put in is there afterwards', () => {
    fc.assert(
      fc.property(
        anyNetwork(0),
        fc.double({ min: -50, max: 50, noNaN: true }),
        ({ network, celsius }, watts) => {
          const after = thermalStep(network, 600)(
            celsius,
            [],
            celsius.map((_, i) => (i === 0 ? watts : 0)),
          )
          expect(heat(network, after) - heat(network, celsius)).toBeCloseTo(600 * watts, 2)
        },
      ),
    )
  })

  test('no node leaves the range of temperatures that it began among', () => {
    fc.assert(
      fc.property(
        anyNetwork(1),
        fc.double({ min: -20, max: 35, noNaN: true }),
        fc.integer({ min: 1, max: 100_000 }),
        ({ network, celsius }, room, seconds) => {
          const after = thermalStep(network, seconds)(
            celsius,
            [room],
            celsius.map(() => 0),
          )
          for (const value of after) {
            expect(value).toBeGreaterThanOrEqual(Math.min(...celsius, room) - 1e-9)
            expect(value).toBeLessThanOrEqual(Math.max(...celsius, room) + 1e-9)
          }
        },
      ),
    )
  })
})

describe('a fridge', () => {
  test('runs 30 to 50 % of the time in cycles of 20 to 60 min at 20 and at 25 °C (soft figures from memory)', () => {
    for (const room of [20, 25]) {
      const { duty, cycle } = cyclesIn(room)
      expect(duty).toBeGreaterThanOrEqual(0.3)
      expect(duty).toBeLessThanOrEqual(0.5)
      expect(cycle).toBeGreaterThanOrEqual(20)
      expect(cycle).toBeLessThanOrEqual(60)
    }
  })

  test('keeps its air within the hysteresis and what the plate still gives or takes', () => {
    const { low, high } = cyclesIn(20)
    expect(low).toBeGreaterThan(3.5)
    expect(low).toBeLessThanOrEqual(4)
    expect(high).toBeGreaterThanOrEqual(6)
    expect(high).toBeLessThan(6.3)
  })

  test('warms without power and cools on when its thermostat sticks', () => {
    const cut = afterTwelveHours({ ...calm, powered: false })
    // The two-node fridge above is at 14.7945 °C by then; this one has a liner to warm as well.
    expect(cut.celsius[1]).toBeGreaterThan(13)
    expect(cut.celsius[1]).toBeLessThan(14.7945)
    expect(cut.running[1]).toBe(false)
    const stuck = afterTwelveHours({ ...calm, stuck: new Map([[fridgeId, true]]) })
    expect(stuck.celsius[1]).toBeLessThan(-5)
    expect(stuck.running[1]).toBe(true)
  })

  test('an open door warms the air within minutes and the box within hours', () => {
    const { start, step } = aFridge()
    const open = { ...calm, open: new Set([fridgeId]) }
    const minutesIn = (n: number): WorldState => run(start, step, n, open)
    expect(minutesIn(10).celsius[1]).toBeGreaterThan(8)
    expect(minutesIn(10).celsius[2]).toBeLessThan(5.5)
    expect(minutesIn(600).celsius[2]).toBeGreaterThan(8)
  })

  test('its air never holds more vapour than its cold plate leaves in it, with the door shut or open', () => {
    const { start, step } = aFridge()
    for (const conditions of [calm, { ...calm, open: new Set([fridgeId]) }]) {
      let state = start
      let wasWet = false
      for (let i = 0; i < 300; i++) {
        state = step(state, conditions)
        const plate = celsius(state.liner[1] ?? 0)
        const most = plate < 0 ? saturationOverIce(plate) : saturationOverWater(plate)
        expect(state.vapour[1]).toBeLessThanOrEqual(most)
        wasWet ||= state.vapour[1] === most
        expect(state.humidity[1]).toBeLessThanOrEqual(100)
      }
      expect(wasWet).toBe(true)
    }
  })
})

describe('chance', () => {
  test('xoshiro128** gives what the authors’ C reference gives for a published state', () => {
    // State and first four outputs: test data of edorfaus/xoshiro-6502, generated with the reference implementation.
    const next = xoshiro128([0x964d4a0c, 0xd40ab895, 0xad7fdecb, 0x3006f0f0])
    expect([next(), next(), next(), next()]).toEqual([0xf1391922, 0x6fe53806, 0xa5be2840, 0xf510ee70])
  })

  test('the same seed gives the same stream, and a fork does not move its parent', () => {
    fc.assert(
      fc.property(fc.nat(4_294_967_295), fc.string(), (seed, name) => {
        const [one, other] = [seededRandom(seed), seededRandom(seed)]
        other.fork(name).uniform()
        expect(one.uniform()).toBe(other.uniform())
        expect(one.fork(name).normal()).toBe(other.fork(name).normal())
      }),
    )
  })

  test('uniform stays in [0, 1) with mean 1/2, normal has mean 0 and standard deviation 1', () => {
    const random = seededRandom(42)
    const uniform = Array.from({ length: 20_000 }, () => random.uniform())
    expect(Math.min(...uniform)).toBeGreaterThanOrEqual(0)
    expect(Math.max(...uniform)).toBeLessThan(1)
    expect(mean(uniform)).toBeCloseTo(0.5, 1)
    const normal = Array.from({ length: 20_000 }, () => random.normal())
    expect(Math.abs(mean(normal))).toBeLessThan(0.03)
    expect(mean(normal.map((x) => x * x))).toBeCloseTo(1, 1)
  })

  test('weather keeps its spread whatever the step', () => {
    const random = seededRandom(7)
    for (const step of [600_000, 3_600_000]) {
      let value = 0
      const seen = Array.from({ length: 50_000 }, () => {
        return (value = nextNoise(value, { sd: 2, memory: 3_600_000 }, step, random))
      })
      expect(Math.sqrt(mean(seen.map((x) => x * x)))).toBeGreaterThan(1.8)
      expect(Math.sqrt(mean(seen.map((x) => x * x)))).toBeLessThan(2.2)
    }
  })
})

const calm: Conditions = { powered: true, open: new Set(), stuck: new Map(), colder: new Map() }

function fridgeScenario(room: number): Scenario {
  return Scenario.parse({
    name: 'A fridge in a room',
    start: '2026-01-10T00:00:00Z',
    lasts: '48 h',
    step: '10 s',
    timeZone: 'UTC',
    places: [
      { id: 'room', kind: 'room', mean: room, humidity: 50 },
      { id: 'fridge', kind: 'fridge', parent: 'room' },
      { id: 'box', kind: 'box', parent: 'fridge', humidity: 75 },
    ],
    sensors: [{ id: 'any', place: 'room' }],
  })
}

const { places } = fridgeScenario(20)
const fridgeId = places[1]?.id as NonNullable<(typeof places)[1]>['id']

function aFridge() {
  const world = createWorld(places, instant(0), 0)
  const random = seededRandom(1)
  const step = (state: WorldState, conditions: Conditions) => world.step(state, 60_000, conditions, random)
  return { start: world.start, step }
}

function run(
  start: WorldState,
  step: (state: WorldState, conditions: Conditions) => WorldState,
  minutes: number,
  conditions: Conditions,
): WorldState {
  let state = start
  for (let i = 0; i < minutes; i++) state = step(state, conditions)
  return state
}

function afterTwelveHours(conditions: Conditions): WorldState {
  const { start, step } = aFridge()
  return run(start, step, 720, conditions)
}

/** Duty, cycle in minutes and range of the air on the second of two days. */
function cyclesIn(room: number) {
  const scenario = fridgeScenario(room)
  const settled = scenario.start + hours(24)
  const air: number[] = []
  let running = 0
  let starts = 0
  let was = false
  for (const event of simulate(scenario, 1)) {
    if (event.kind !== 'truth' || event.line.kind !== 'state' || Date.parse(event.line.at) < settled) continue
    const is = event.line.running.includes(fridgeId)
    air.push(event.line.celsius[fridgeId] ?? Number.NaN)
    if (is) running++
    if (is && !was) starts++
    was = is
  }
  return {
    duty: running / air.length,
    cycle: (24 * 60) / starts,
    low: Math.min(...air),
    high: Math.max(...air),
  }
}

/** Hours until a node passes `to`, by steps of 10 s and a straight line between the last two. */
function crossing(network: ThermalNetwork, from: number[], room: number, node: number, to: number): number {
  const step = thermalStep(network, 10)
  const idle = from.map(() => 0)
  let nodes = from
  for (let i = 0; i < 100_000; i++) {
    const next = step(nodes, [room], idle)
    const [before, after] = [nodes[node] ?? 0, next[node] ?? 0]
    if ((before - to) * (after - to) <= 0) return ((i + (to - before) / (after - before)) * 10) / 3600
    nodes = next
  }
  throw new Error(`never at ${to} °C`)
}

/** Up to six nodes in a chain with some cross links, in reach of the fixed nodes. */
function anyNetwork(fixed: number) {
  const conductance = fc.double({ min: 0, max: 20, noNaN: true })
  return fc
    .array(
      fc.record({
        capacity: fc.double({ min: 200, max: 50_000, noNaN: true }),
        celsius: fc.double({ min: -20, max: 35, noNaN: true }),
        next: conductance,
        out: conductance,
      }),
      { minLength: 1, maxLength: 6 },
    )
    .map((nodes) => {
      const n = nodes.length
      const network: ThermalNetwork = {
        capacities: nodes.map(({ capacity }) => capacity),
        fixed,
        links: nodes.flatMap(({ next, out }, i) => [
          ...(n > 1 ? [{ between: [i, (i + 1) % n] as const, conductance: next }] : []),
          ...(fixed > 0 ? [{ between: [i, n] as const, conductance: out }] : []),
        ]),
      }
      return { network, celsius: nodes.map(({ celsius }) => celsius) }
    })
}

const heat = ({ capacities }: ThermalNetwork, celsius: readonly number[]): number =>
  capacities.reduce((sum, capacity, i) => sum + capacity * (celsius[i] ?? 0), 0)

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length
