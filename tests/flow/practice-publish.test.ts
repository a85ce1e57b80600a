import { once } from 'node:events'
import { createServer, type AddressInfo, type Server } from 'node:net'
import { Aedes } from 'aedes'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { decodeSenmlJson } from '../../daemon/mqtt/decode/senml-json.ts'
import type { Clock } from '../../daemon/ports/clock.ts'
import type { Log } from '../../daemon/ports/log.ts'
import { drifted } from '../../daemon/practice/drift-script.ts'
import { practiceDiary } from '../../daemon/practice/diary.ts'
import { practiceHousehold } from '../../daemon/practice/household.ts'
import { practiceClock } from '../../daemon/practice/practice-clock.ts'
import { practiceScenario } from '../../daemon/practice/practice-scenario.ts'
import { startPractice, type Practice } from '../../daemon/practice/practice.ts'
import { startSimulation } from '../../daemon/practice/simulate.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Found } from '../../schemas/source.ts'
import { days, hours, instant, later, millis, minutes, seconds } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { phaseAt } from '../../shared/judging/phase-at.ts'
import { startWatch, stepWatch, type WatchEvent } from '../../shared/judging/watch.ts'
import { profileOf } from '../../shared/species/catalogue.ts'

const now = instant(Date.parse('2026-01-20T10:00:00Z'))

describe('the practice devices on a real broker', () => {
  let broker: Aedes
  let server: Server
  let brokerUrl: string
  let heard: { topic: string; payload: string; qos: number; at: Instant }[]
  let practice: Practice | undefined
  let clock: ReturnType<typeof practiceClock>

  beforeEach(async () => {
    heard = []
    broker = await Aedes.createBroker()
    server = createServer(broker.handle)
    server.listen(0, '127.0.0.1')
    await once(server, 'listening')
    brokerUrl = `mqtt://127.0.0.1:${(server.address() as AddressInfo).port}`
    broker.on('publish', (packet, client) => {
      if (client === null) return
      heard.push({
        topic: packet.topic,
        payload: packet.payload.toString(),
        qos: packet.qos,
        at: clock.now(),
      })
    })
  })

  afterEach(async () => {
    await practice?.stop()
    practice = undefined
    await new Promise<void>((resolve) => broker.close(resolve))
    await new Promise((resolve) => server.close(resolve))
  })

  test('fill the past in order of time, then run live, and leave nothing running when stopped', async () => {
    const nights = 0.5
    let looks = 0
    clock = practiceClock({ ...machineClock, now: () => (looks++, machineClock.now()) }, nights)
    const from = clock.now()
    const steps: { at: Instant; heardBefore: number }[] = []
    const shares: number[] = []
    practice = startPractice({
      brokerUrl,
      clock,
      log: noLog,
      onStep: (at) => {
        expect(clock.now()).toBe(at)
        steps.push({ at, heardBefore: heard.length })
      },
      onProgress: (share) => shares.push(share),
    })
    await practice.ready

    expect(Math.abs(clock.now() - Date.now())).toBeLessThan(1000)
    expect(shares.at(-1)).toBeGreaterThan(0.99)
    expect(shares).toEqual(shares.toSorted((a, b) => a - b))
    expect(steps.length).toBeGreaterThanOrEqual(24)
    expect(new Set(steps.map(({ at }) => at)).size).toBe(steps.length)
    const filled = heard.length
    expect(steps.at(-1)?.heardBefore).toBe(filled) // every step was acknowledged before it was told

    const household = practiceHousehold(instant(Date.now()))
    expect(new Set(heard.map(({ topic }) => topic))).toEqual(
      new Set(household.sensors.map(({ topic }) => topic)),
    )
    expect(new Set(heard.map(({ qos }) => qos))).toEqual(new Set([1]))
    const newest = new Map<string, number>()
    for (const { topic, payload, at } of heard) {
      const found = decoded(payload)
      const times = found.map((one) => one.at as number)
      expect(times).toEqual(times.toSorted((a, b) => a - b))
      expect(times[0]).toBeGreaterThan(newest.get(topic) ?? from)
      expect(times.at(-1)).toBeLessThanOrEqual(at) // never stamped ahead of the clock (L5)
      newest.set(topic, times.at(-1) ?? 0)
    }
    for (const at of newest.values()) expect(Date.now() - at).toBeLessThan(minutes(5))

    await vi.waitFor(
      () => {
        const live = new Map<string, number>()
        for (const { topic } of heard.slice(filled)) live.set(topic, (live.get(topic) ?? 0) + 1)
        expect([...live.keys()].sort()).toEqual(household.sensors.map(({ topic }) => topic).sort())
        expect(Math.min(...live.values())).toBeGreaterThanOrEqual(2)
      },
      { timeout: 15_000, interval: 100 },
    )
    for (const { payload } of heard.slice(filled)) {
      for (const { at } of decoded(payload))
        expect(Math.abs(Date.now() - (at ?? 0))).toBeLessThan(seconds(30))
    }

    await practice.stop()
    await vi.waitFor(() => expect(broker.connectedClients).toBe(0), { timeout: 5000 })
    const before = { heard: heard.length, looks }
    await new Promise((resolve) => setTimeout(resolve, 1200)) // two live ticks in which nobody may look at the clock
    expect({ heard: heard.length, looks }).toEqual(before)
  }, 60_000)

  test('stop in the middle of the past, and say so by being ready', async () => {
    clock = practiceClock(machineClock, 14)
    let steps = 0
    const halfway = new Promise<void>((resolve) => {
      practice = startPractice({
        brokerUrl,
        clock,
        log: noLog,
        onStep: () => void (++steps === 5 && resolve()),
      })
    })
    await halfway
    await practice?.stop()
    await practice?.ready
    const count = steps
    expect(count).toBeLessThan(100)
    await vi.waitFor(() => expect(broker.connectedClients).toBe(0), { timeout: 5000 })
    expect(steps).toBe(count)
  })

  test('end with what `onStep` threw, and are gone from the broker', async () => {
    clock = practiceClock(machineClock, 1)
    const fault = new Error('the tick failed')
    practice = startPractice({ brokerUrl, clock, log: noLog, onStep: () => Promise.reject(fault) })
    await expect(practice.ready).rejects.toBe(fault)
    await vi.waitFor(() => expect(broker.connectedClients).toBe(0), { timeout: 5000 })
  })

  test('say what is wrong when the broker lets nobody in', async () => {
    broker.authenticate = (_client, _user, _password, done) =>
      done(Object.assign(new Error('no'), { returnCode: 5 }), null)
    clock = practiceClock(machineClock, 0.1)
    practice = startPractice({ brokerUrl, user: 'nobody', password: 'wrong', clock, log: noLog })
    await expect(practice.ready).rejects.toThrow(/cannot publish/)
    await vi.waitFor(() => expect(broker.connectedClients).toBe(0), { timeout: 5000 })
  })
})

describe('the practice household', () => {
  test('has a device for every sensor, and every quantity of it decodes', () => {
    const scenario = practiceScenario(later(now, -1 * days(1)), now, 'Europe/Vienna')
    const household = practiceHousehold(now)
    expect(scenario.sensors.map(({ id, place, type }) => ({ id, place, type }))).toEqual(
      household.sensors.map(({ id, place, type }) => ({ id, place, type })),
    )
    const ids = (places: readonly { id: string; kind: string }[]) =>
      places.map(({ id, kind }) => `${id} ${kind}`)
    // A culture is counted by its keeper, not measured
    const measured = household.places.filter(({ kind }) => kind !== 'culture')
    expect(ids(scenario.places)).toEqual(ids(measured))
  })

  test('lies in hold now and through the nights before, but for one that goes down next and a python', () => {
    const household = practiceHousehold(now)
    for (const animal of household.animals) {
      expect(profileOf(animal.species)?.id).toBe(animal.species)
      for (const at of [later(now, -1 * days(14)), now]) {
        expect(phaseAt(animal, at).phase).toBe(animal.plan.length > 0 ? 'hold' : 'awake')
      }
    }
    expect(household.animals.filter(({ mode }) => mode === 'staysAwake').map(({ name }) => name)).toEqual([
      'Amber',
    ])
    const next = household.animals.filter(({ draft }) => draft.length > 0)
    expect(next.map(({ name, plan }) => [name, plan])).toEqual([['Fennel', []]])
    expect(next.flatMap(({ draft }) => draft.map(({ phase }) => phase))).toEqual([
      'feedUp',
      'fast',
      'coolDown',
      'hold',
      'warmUp',
      'awake',
    ])
  })

  test('has a diary of its own animals and places, all of it in the past, in order of time', () => {
    const household = practiceHousehold(now)
    const diary = practiceDiary(now)
    const known = new Set<string>([...household.animals, ...household.places].map(({ id }) => id))
    expect(diary.filter(({ animal, place }) => !known.has(animal ?? place ?? ''))).toEqual([])
    expect(diary.every(({ at }) => at <= now)).toBe(true)
    expect(diary.map(({ at }) => at)).toEqual(diary.map(({ at }) => at).toSorted((a, b) => a - b))
    expect(new Set(diary.map(({ id }) => id)).size).toBe(diary.length)
  })

  test.each(['2026-01-20T10:00:00Z', '2026-07-03T21:30:00Z', '2026-04-05T03:00:00Z'])(
    'has a lively past with one alarm, and then one at a time about 90 s after its box starts to freeze (now %s)',
    (text) => {
      const at = instant(Date.parse(text))
      const from = later(at, -1 * days(14))
      let isLive = false
      const simulation = startSimulation(practiceScenario(from, at, 'Europe/Vienna'), 20_261_125, {
        readingsOnly: true,
        adjust: (place, when, celsius) => (isLive ? drifted(place, when - at, celsius) : celsius),
      })
      let state = startWatch(practiceHousehold(at), profileOf, from)
      const told: { at: number; kind: string; alarm: string }[] = []
      const open = new Set<number>()
      const tell = (event: WatchEvent): void => {
        const [next, effects] = stepWatch(state, event)
        state = next
        for (const effect of effects) {
          if (effect.kind !== 'journal' || effect.entry.alarm === undefined) continue
          told.push({ at: effect.entry.at, kind: effect.entry.kind, alarm: effect.entry.alarm })
        }
      }
      const pass = (to: Instant): void => {
        for (const event of simulation.until(to)) {
          if (event.kind !== 'reading') continue
          const { reading } = event
          if (reading.quantity === 'door' && reading.value === 1) open.add(Math.floor(reading.at / days(1)))
          tell({ kind: 'reading', reading, heardAt: to })
        }
        tell({ kind: 'timePassed', at: to })
      }

      for (let to = later(from, minutes(30)); to <= at; to = later(to, minutes(30))) pass(to)
      expect(told.map(({ kind, alarm }) => `${kind} ${alarm}`)).toEqual([
        'raised silent:marsh-soil',
        'returned silent:marsh-soil',
      ])
      expect(open.size).toBeGreaterThanOrEqual(4)

      told.length = 0
      isLive = true
      simulation.pace(seconds(1), () => seconds(5))
      for (let to = later(at, 500); to < at + minutes(20); to = later(to, 500)) pass(to)
      expect(told.map(({ kind, alarm }) => `${kind} ${alarm}`)).toEqual([
        'raised limit:juniper-box:temperature:lowCritical',
        'returned limit:juniper-box:temperature:lowCritical',
        'raised limit:juniper-box:temperature:lowCritical',
        'returned limit:juniper-box:temperature:lowCritical',
      ])
      const [raised, returned, again] = told.map((one) => one.at - at)
      expect(raised).toBeGreaterThan(seconds(85))
      expect(raised).toBeLessThan(seconds(100))
      expect(returned).toBeLessThan(seconds(210))
      expect((again ?? 0) - (returned ?? 0)).toBeGreaterThan(minutes(10))
    },
    60_000,
  )
})

describe('the live show', () => {
  const felt = (at: number) => drifted('juniper-box' as PlaceId, seconds(at), 4.4)

  test('is calm for 10 s, freezes its box from 30 to 130 s, is over at 170 s and calm for ten minutes', () => {
    for (let at = 0; at <= 10; at++) expect(felt(at)).toBe(4.4)
    expect(felt(25)).toBeGreaterThan(1)
    for (let at = 30; at <= 130; at++) expect(felt(at)).toBeLessThanOrEqual(1)
    for (let at = 146; at < 170; at++) expect(felt(at)).toBeGreaterThan(2)
    for (let at = 170; at <= 780; at++) expect(felt(at)).toBe(4.4)
    expect(felt(770 + 60)).toBe(felt(60))
  })

  test('leaves what is not in that fridge alone, and the other boxes inside their bands', () => {
    for (let at = 0; at <= 200; at++) {
      for (const place of ['small-fridge', 'warm-enclosure', 'cellar'])
        expect(drifted(place as PlaceId, seconds(at), 5)).toBe(5)
      for (const place of ['clover-box', 'marsh-box'])
        expect(drifted(place as PlaceId, seconds(at), 4.4)).toBeGreaterThan(3)
      expect(drifted('cellar-fridge' as PlaceId, seconds(at), 4.4)).toBeGreaterThan(1.6)
    }
  })
})

describe('the practice clock', () => {
  test('is led through the past and then follows the real one; its uptime never jumps', () => {
    let real = now
    const clock = practiceClock({ now: () => real, uptime: () => millis(real - now + 5000) }, 14)
    expect(clock.now()).toBe(now - days(14))
    expect(clock.uptime()).toBe(0)
    clock.advanceTo(later(now, -1 * days(1)))
    expect(clock.uptime()).toBe(days(13))
    expect(() => clock.advanceTo(later(now, -1 * days(2)))).toThrow(/led back/)
    expect(() => clock.advanceTo(later(now, 1))).toThrow(/past the real one/)
    clock.live()
    expect(clock.now()).toBe(now)
    expect(clock.uptime()).toBe(days(14))
    real = later(real, hours(1))
    expect(clock.now()).toBe(real)
    expect(clock.uptime()).toBe(days(14) + hours(1))
    expect(() => clock.advanceTo(real)).toThrow(/live/)
  })
})

const started = performance.now()
const machineClock: Clock = {
  now: () => instant(Date.now()),
  uptime: () => millis(Math.round(performance.now() - started)),
}

const noLog: Log = { debug: () => {}, info: () => {}, warn: () => {}, error: () => {} }

function decoded(payload: string): readonly Found[] {
  const result = decodeSenmlJson(new TextEncoder().encode(payload), null)
  if (!result.ok) throw new Error(`refused: ${result.refusal}`)
  expect(result.found.length).toBeGreaterThan(0)
  return result.found
}
