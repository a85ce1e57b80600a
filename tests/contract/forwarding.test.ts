import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { calibratedHistory } from '../../daemon/app/calibrated-history.ts'
import { openForwarding } from '../../daemon/app/forwarding.ts'
import { resolveSenml } from '../../daemon/mqtt/decode/senml.ts'
import type { Store } from '../../daemon/ports/store.ts'
import type { UpstreamLink, UpstreamStore } from '../../daemon/ports/upstream.ts'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import { sqliteUpstream } from '../../daemon/sqlite/upstream.ts'
import { instant, later, minutes, seconds } from '../../schemas/amounts.ts'
import type { LiveEvent } from '../../schemas/api.ts'
import { Calibration } from '../../schemas/calibration.ts'
import { AlarmId } from '../../schemas/ids.ts'
import { keptLog } from '../support/broker-world.ts'
import { type SimulatedTime, simulatedTime } from '../support/simulated-time.ts'
import { aReading, clock, otherProbe, probe, temporaryFolder, zonesByHand } from '../support/store-world.ts'

/** What stands at the far end: it keeps what it is sent, and answers as a test wants it. */
function farEnd() {
  const values = new Map<string, unknown>()
  const order: string[] = []
  const listeners: ((state: ReturnType<UpstreamLink['state']>) => void)[] = []
  let state: ReturnType<UpstreamLink['state']> = {
    name: 'starting',
    sentence: 'Starting.',
    since: clock(0),
    retryAt: null,
  }
  let answers = true
  const link: UpstreamLink = {
    start() {},
    state: () => state,
    onState: (listener) => void listeners.push(listener),
    send(messages) {
      if (state.name !== 'up') return Promise.resolve(false)
      for (const { payload } of messages) {
        const step = resolveSenml(JSON.parse(payload), null)
        if (!step.ok) throw new Error(step.refusal)
        for (const { name, at, number, state: truth, text } of step.value) {
          values.set(`${name} ${at}`, number ?? truth ?? text)
          order.push(`${name} ${at}`)
        }
      }
      return Promise.resolve(answers)
    },
    stop: () => Promise.resolve(),
  }
  return {
    link,
    values,
    /** Names as they came, repeats too. */
    order,
    count: () => order.length,
    /** Whether it acknowledges what it takes. */
    answer(does: boolean) {
      answers = does
    },
    become(name: 'up' | 'down') {
      state = { ...state, name, sentence: name === 'up' ? 'Connected.' : 'Nothing listens.' }
      for (const listener of listeners) listener(state)
    },
  }
}

const calibrations = [
  Calibration.parse({
    quantity: 'temperature',
    from: clock(0),
    gain: 1.0037,
    offset: -0.1234567,
    method: 'entered',
    by: 'Ada',
    uncertainty: 0.2,
  }),
]

let folder: ReturnType<typeof temporaryFolder>
let db: ReturnType<typeof openDatabase>
let store: Store
let upstream: UpstreamStore
let time: SimulatedTime
let far: ReturnType<typeof farEnd>
let log: ReturnType<typeof keptLog>
let publish: (event: LiveEvent) => void
beforeEach(() => {
  folder = temporaryFolder()
  far = farEnd()
  log = keptLog()
  reopen()
})
afterEach(() => {
  db.close()
  folder.remove()
})

function reopen(): void {
  db = openDatabase(folder.path)
  store = sqliteStore(db)
  upstream = sqliteUpstream(db)
  time = simulatedTime(clock(0))
}

function start() {
  const forwarding = openForwarding({
    site: 'north',
    store: upstream,
    history: calibratedHistory(store, () => calibrations),
    link: far.link,
    house: {
      subscribe(listener) {
        publish = listener
        return () => {}
      },
    },
    clock: time.clock,
    timer: time.timer,
    log,
    commitEvery: seconds(30),
  })
  forwarding.start()
  return forwarding
}

const keep = (...readings: Parameters<typeof aReading>[]) =>
  store.commit({ readings: readings.map((given) => aReading(...given)), journal: [] })

/** Every reading of both sensors as the house shows it, under its name at the far end. */
function shown(hours: number): Map<string, unknown> {
  const history = calibratedHistory(store, () => calibrations)
  const all = [probe, otherProbe].flatMap((sensor) =>
    history.readings(sensor, 'temperature', clock(0), clock(hours)),
  )
  return new Map(
    all.map(({ sensor, at, value, quality }) => [
      `north/${sensor}/temperature${quality === 'good' ? '' : '/doubted'} ${at}`,
      value,
    ]),
  )
}

const gotReadings = () => new Map([...far.values].filter(([name]) => !/quality|alarm/.test(name)))

describe('passing on', () => {
  test('readings arrive as they are shown: calibrated, with what is doubted set apart', async () => {
    const forwarding = start()
    far.become('up')
    keep(
      [clock(0.1), 4.06],
      [clock(0.2), 85, { quality: 'powerOn' }],
      [clock(0.2), 5.1, { sensor: otherProbe }],
    )
    await time.pass(minutes(1))
    expect(gotReadings()).toEqual(shown(1))
    expect(far.values.get(`north/probe-1/temperature ${clock(0.1)}`)).toBe(1.0037 * 4.06 - 0.1234567)
    expect(far.values.get(`north/probe-1/temperature/quality ${clock(0.2)}`)).toBe('powerOn')
    expect(far.values.has(`north/probe-1/temperature ${clock(0.2)}`)).toBe(false)
    expect(forwarding.now()).toMatchObject({
      name: 'up',
      waiting: { readings: 0, hours: 0, alarmChanges: 0, oldest: null },
      sent: { readings: 3, alarmChanges: 0 },
    })
  })

  test('an alarm goes at once, before what else waits, and not before it is kept', async () => {
    start()
    far.become('up')
    await time.pass(seconds(40))
    const alarm = AlarmId.parse('limit:box:temperature:low')
    keep([clock(0.01), 1])
    const [line] = store.commit({
      readings: [],
      journal: [{ at: clock(0.01), kind: 'raised', by: 'brumal', alarm }],
    })
    if (line === undefined) throw new Error('no line was kept')
    publish({ kind: 'journal', line })
    await time.pass(0)
    expect(far.order[0]).toBe(`north/alarm/${alarm}/raised ${clock(0.01)}`)
    expect(far.values.get(`north/alarm/${alarm}/out ${clock(0.01)}`)).toBe(true)
  })

  test('L5: after an outage over folded hours all of it arrives, late readings too, each hour in its turn', async () => {
    const forwarding = start()
    for (let i = 0; i < 60; i++) keep([clock(i / 10), i], [clock(i / 10), -i, { sensor: otherProbe }])
    store.fold(clock(4), zonesByHand, 'folded')
    keep([clock(0.55), 99]) // late, of an hour that is folded
    keep([clock(0.5), 77]) // of an instant that is known: the first stands
    await time.pass(minutes(10))
    expect(far.count()).toBe(0)
    expect(forwarding.now().waiting).toMatchObject({ hours: 8, oldest: clock(0) })
    far.become('up')
    await time.pass(minutes(1))
    expect(gotReadings()).toEqual(shown(7))
    expect(gotReadings().size).toBe(121)
    expect(far.values.get(`north/probe-1/temperature ${clock(0.5)}`)).toBe(1.0037 * 5 - 0.1234567)
    await time.pass(seconds(6))
    expect(forwarding.now().waiting).toEqual({ readings: 0, hours: 0, alarmChanges: 0, oldest: null })
  })

  test('what was not acknowledged is sent again, under the same names and times', async () => {
    start()
    far.become('up')
    far.answer(false)
    keep([clock(0.1), 1], [clock(0.2), 2])
    await time.pass(seconds(40))
    far.answer(true)
    await time.pass(seconds(40))
    expect(gotReadings()).toEqual(shown(1))
    expect(far.count()).toBeGreaterThan(2)
    const sent = far.count()
    await time.pass(minutes(5))
    expect(far.count()).toBe(sent)
  })

  test('dying at any point repeats, and leaves nothing out', async () => {
    start()
    far.become('up')
    keep([clock(0.1), 1], [clock(1.2), 2])
    await time.pass(seconds(40)) // sent, and how far not kept yet
    store.fold(clock(3), zonesByHand, 'folded')
    keep([clock(3.1), 3])
    db.close() // as a kill leaves it
    reopen()
    start()
    far.become('down')
    far.become('up')
    await time.pass(minutes(1))
    expect(gotReadings()).toEqual(shown(4))
    expect(gotReadings().size).toBe(3)
  })

  test('how far it came is kept when it stops, so that nothing goes twice', async () => {
    const forwarding = start()
    far.become('up')
    keep([clock(0.1), 1])
    await time.pass(seconds(40))
    await forwarding.stop()
    db.close()
    reopen()
    start()
    await time.pass(minutes(3))
    expect(far.count()).toBe(1)
  })

  test('X3: a long outage is made up for at five thousand readings a second at most', async () => {
    start()
    const at = (i: number) => instant(later(clock(0), i * 500))
    const many = Array.from({ length: 12_000 }, (_, i) => aReading(at(i), i % 7))
    store.commit({ readings: many, journal: [] })
    far.become('up')
    await time.pass(990)
    expect(far.count()).toBeGreaterThan(2000)
    expect(far.count()).toBeLessThanOrEqual(5000)
    await time.pass(seconds(5))
    expect(gotReadings().size).toBe(12_000)
  })

  test('the log says once that it is lost and once that it is back, however often it is tried', async () => {
    start()
    for (let i = 0; i < 5; i++) far.become('down')
    await time.pass(minutes(2))
    far.become('up')
    await time.pass(minutes(2))
    const said = log.lines.map((line) => line.split(' {')[0])
    expect(said).toEqual([
      'warn Nothing is passed on for now, and all of it is kept. Nothing listens.',
      'info Readings and alarms are passed on again.',
    ])
  })

  test('N2: a store that cannot be read just now is asked again, and the log says so once', async () => {
    const forwarding = start()
    far.become('up')
    const { readingsAfter } = upstream
    let fails = true
    Object.assign(upstream, {
      readingsAfter(...given: Parameters<typeof readingsAfter>) {
        if (fails) throw new Error('the disk gives nothing')
        return readingsAfter(...given)
      },
    })
    keep([clock(0.1), 1])
    await time.pass(minutes(2))
    expect(far.count()).toBe(0)
    fails = false
    await time.pass(minutes(1))
    expect(gotReadings()).toEqual(shown(1))
    expect(log.lines.filter((line) => /cannot be read/.test(line))).toHaveLength(1)
    expect(forwarding.now().sent.readings).toBe(1)
  })
})
