import { copyFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, beforeEach, expect } from 'vitest'
import type { Broker } from '../../daemon/ports/broker.ts'
import type { Arrival } from '../../daemon/ports/intake.ts'
import type { Senders } from '../../daemon/ports/outbox.ts'
import { databaseName } from '../../daemon/sqlite/open.ts'
import { minutes, seconds } from '../../schemas/amounts.ts'
import type { SensorId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import { type FaultDaemon, openFaultDaemon } from './fault-daemon.ts'
import { aFreshHouse, household, start } from './fault-house.ts'
import { failing, type Fault, type Trap, trapFor } from './faulty.ts'
import { type SimulatedTime, simulatedTime } from './simulated-time.ts'
import { temporaryFolder } from './store-world.ts'

const takes = () => Promise.resolve({ outcome: 'delivered', sentence: 'It was taken.' } as const)
const senders: Senders = { push: null, relay: { send: takes }, mail: { send: takes }, webhook: null }
const noBroker: Broker = {
  start() {},
  state: () => ({ kind: 'embedded', name: 'down', since: start as Instant, sentence: '', retryAt: null }),
  onState() {},
  onForgotten() {},
  publish: () => Promise.resolve(),
  stop: () => Promise.resolve(),
}

/** Before each test of the file a house of its own on real SQLite, whose store fails when told to; closed after it. */
export function editedHouse() {
  let fresh: ReturnType<typeof aFreshHouse>
  let folder: ReturnType<typeof temporaryFolder>
  let time: SimulatedTime
  let daemon: FaultDaemon
  let deaths: unknown[]
  let trap: Trap | null

  function open(): void {
    daemon = openFaultDaemon({
      folder: folder.path,
      household,
      clock: time.clock,
      timer: time.timer,
      senders,
      broker: noBroker,
      dies: (cause) => deaths.push(cause),
      wraps: {
        wrap: (port, part) =>
          port === 'store'
            ? new Proxy(part, {
                get: (target, name) =>
                  Reflect.get(trap === null ? target : failing(target, trap), name) as unknown,
              })
            : part,
      },
    })
  }
  const stop = () => daemon.stop(() => time.pass(seconds(3)))

  beforeAll(() => {
    fresh = aFreshHouse()
  })
  afterAll(() => fresh.remove())
  beforeEach(async () => {
    folder = temporaryFolder()
    copyFileSync(join(fresh.path, databaseName), join(folder.path, databaseName))
    time = simulatedTime(start as Instant)
    deaths = []
    trap = null
    open()
    await time.settle()
  })
  afterEach(async () => {
    trap?.mend()
    await stop()
    folder.remove()
    // Whatever failed, the daemon went on
    expect(deaths).toEqual([])
  })

  return {
    get daemon() {
      return daemon
    },
    get time() {
      return time
    },
    /** The store's next commits fail; `mend` and `hasHappened` are the fault's. */
    commitsFail(fault: Pick<Fault, 'mode'> & Partial<Fault>): Trap {
      trap = trapFor({ method: 'commit', nth: 1, how: 'before', ...fault })
      return trap
    },
    /** Stops, and starts again over what the folder holds. */
    async restarts(): Promise<void> {
      await stop()
      open()
      await time.settle()
    },
    /** A minute passes, and the first probe speaks. */
    async hears(celsius: number): Promise<void> {
      const sensor = 'one' as SensorId
      await time.pass(minutes(1))
      daemon.hears(
        {
          topic: 'brumal/in/one',
          payload: new Uint8Array(),
          retained: false,
          qos: 1,
          claimedBy: [sensor],
          heard: [{ sensor, quantity: 'temperature', value: celsius, at: time.clock.now() }],
          found: [],
          refusal: null,
        } satisfies Arrival,
        () => {},
      )
      daemon.ticks()
      await time.settle()
    },
  }
}
