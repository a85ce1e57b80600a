import { importsOver } from './imports-for-http.ts'
import { openDesk } from '../../daemon/app/desk.ts'
import { openOutlooks } from '../../daemon/app/outlooks.ts'
import { openHouse } from '../../daemon/app/house.ts'
import { houseClock } from '../../daemon/app/house-clock.ts'
import { makeIntake } from '../../daemon/app/ingest.ts'
import { openKeeping } from '../../daemon/app/keeping.ts'
import { openSignals } from '../../daemon/app/signals.ts'
import { rememberSources } from '../../daemon/app/sources.ts'
import { hmacSeal } from '../../daemon/host/seal.ts'
import { sparing } from '../../daemon/main/sparing.ts'
import { watchStages } from '../../daemon/main/stages.ts'
import { storesOf } from '../../daemon/main/stores.ts'
import { openTelling } from '../../daemon/main/telling.ts'
import { deviceLogins } from '../../daemon/mqtt/devices.ts'
import type { Broker } from '../../daemon/ports/broker.ts'
import type { Clock, Timer } from '../../daemon/ports/clock.ts'
import type { Senders } from '../../daemon/ports/outbox.ts'
import type { Store } from '../../daemon/ports/store.ts'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import { sqlitePeople } from '../../daemon/sqlite/people.ts'
import { days, seconds } from '../../schemas/amounts.ts'
import type { Household } from '../../schemas/household.ts'
import type { Instant } from '../../schemas/units.ts'
import { instantIn } from '../../shared/judging/snapshot.ts'
import { catalogue, profileOf } from '../../shared/species/catalogue.ts'

/** Stands between the core and one of the parts that it is given. */
export interface Wraps {
  wrap<Part extends object>(port: PortName, part: Part): Part
}

export type PortName =
  | 'store'
  | 'outbox'
  | 'people'
  | 'devices'
  | 'diary'
  | 'seal'
  | 'broker'
  | 'clock'
  | 'timer'

const noLog = { debug() {}, info() {}, warn() {}, error() {} }

/**
 * The parts that `daemon/main/` puts together, in its order, without sockets and without its own intervals: the
 * story calls those. Throws where the daemon would not start. `dies`: something threw where nobody catches, which ends
 * a process.
 */
export function openFaultDaemon(world: {
  readonly folder: string
  readonly household: Household
  readonly clock: Clock
  readonly timer: Timer
  readonly senders: Senders
  readonly broker: Broker
  readonly wraps: Wraps
  readonly dies: (cause: unknown) => void
}) {
  const { wraps, senders } = world
  let isOver = false
  const guarded = (act: () => void) => () => {
    if (isOver) return
    try {
      act()
    } catch (cause) {
      world.dies(cause)
    }
  }
  const machine = wraps.wrap('clock', world.clock)
  const timer = wraps.wrap('timer', {
    soon: (act) => world.timer.soon(guarded(act)),
    after: (ms, act) => world.timer.after(ms, guarded(act)),
  } satisfies Timer)
  const db = openDatabase(world.folder, { log: noLog })
  // A power cut is another test's; here the disk need not be waited for
  db.pragma('synchronous = OFF')
  const kept = storesOf(db)
  const store = wraps.wrap('store', kept.store)
  const outboxStore = wraps.wrap('outbox', kept.outbox)
  const deviceStore = wraps.wrap('devices', kept.devices)
  const people = wraps.wrap('people', sqlitePeople(db))
  const diary = wraps.wrap('diary', kept.diary)
  const broker = wraps.wrap('broker', world.broker)
  const raw = { ...kept, people: sqlitePeople(db) }

  try {
    const key = people.secret('linkKey', () => 'the-key-of-one-invented-house-in-a-story')
    const seal = wraps.wrap('seal', hmacSeal(Buffer.from(key)))
    const resumed = store.resume()
    const clock = houseClock({ machine, newest: newestIn(resumed) })
    const house = openHouse({
      resumed,
      store,
      clock,
      timer,
      log: noLog,
      profileOf,
      commitEvery: seconds(5),
      messages: { seal, address: () => 'https://house.example', isPractice: false },
      newHousehold: () => world.household,
    })
    const sources = rememberSources()
    const logins = deviceLogins({
      store: deviceStore,
      sharedPassword: people.secret('sensorPassword', () => 'shared-by-all'),
      random: (count) => new Uint8Array(count).fill(3),
      clock: machine,
      address: () => ({ host: 'house.example', port: 1883 }),
      isOurs: true,
    })
    const loop = { tick: () => null, stoodStill: () => null }
    const stages = watchStages({ house, broker, houseTime: clock, clock, loop })
    const intake = makeIntake({
      house,
      sources,
      clock,
      timer,
      onStamp: (stamp) => stages.onStamp(stamp),
    })
    const { outbox, telling } = openTelling({
      house,
      store: outboxStore,
      people,
      senders,
      pushKey: '',
      address: () => 'https://house.example',
      clock,
      timer,
      log: noLog,
    })
    const keeping = openKeeping({
      store,
      backups: {
        folder: '',
        make: () => Promise.reject(new Error('None are made.')),
        list: () => Promise.resolve([]),
      },
      disk: () => ({ freeBytes: 8e9, totalBytes: 16e9 }),
      clock,
      timer,
      log: noLog,
      zone: () => house.state().layout.household.timeZone,
      settings: {
        backup: { isOn: false, at: '04:00', keep: 1 },
        store: { keepReadings: days(1000), budget: 8e9, freeAtLeast: 1e9 },
      },
      onStage: (stage, isWell, text) => house.report(stage, isWell, text),
      note: (entry) => house.note(entry),
      isOnDisk: () => house.failure() === null,
      waiting: () => house.waiting(),
      clockNow: () => ({ isTrusted: clock.isTrusted(), sentence: null }),
    })
    const desk = openDesk({
      pause: () => Promise.resolve(),
      house,
      store,
      diary,
      clock,
      sources,
      catalogue,
      profileOf,
      connection: () => ({
        broker: broker.state(),
        host: 'house.example',
        port: 1883,
        user: null,
        password: null,
        topic: '',
        tryLine: '',
      }),
      telling,
      imports: importsOver(house, store, clock),
      outlooks: openOutlooks({
        house,
        store,
        clock,
        timer,
        pause: () => Promise.resolve(),
        memory: new Map(),
      }),
      seal,
      roleOf: (id) => people.people().find((person) => person.id === id)?.role ?? null,
      onSensors() {},
      practice: {
        practice: () => ({ running: false, offered: false }),
        switchPractice: () => ({ ok: false, error: 'notOffered', sentence: 'Not here.' }),
      },
      keeping,
      metrics: () => '# EOF\n', // nobody scrapes it here
    })
    const started = clock.now()
    house.note({ at: started, kind: 'started', by: 'brumal' })
    house.take({ kind: 'listening', at: started }, 'soon')
    stages.begin({ way: 'asItWas', sentence: null })
    outbox.start()
    keeping.start()
    const signals = openSignals({ house, broker, clock, timer, log: noLog })
    const fold = sparing('fold', () => house.fold(), house, noLog)
    return {
      house,
      desk,
      logins,
      seal,
      /** The stores without the fault, to look at. */
      raw,
      hears: (...given: Parameters<typeof intake>) => guarded(() => intake(...given))(),
      ticks: () =>
        guarded(() => {
          stages.attend()
          house.take({ kind: 'timePassed', at: clock.now() }, 'group')
        })(),
      folds: () => guarded(fold)(),
      /** In the order of `daemon/main/run-house.ts`. */
      async stop(settle: () => Promise<void>): Promise<void> {
        try {
          const lamps = signals.stop()
          await settle()
          await lamps
          const backups = keeping.stop()
          await settle()
          await backups
          const messages = outbox.stop()
          await settle()
          await messages
          house.commit()
          house.note({ at: clock.now(), kind: 'stopped', by: 'brumal' })
          house.close()
          store.close()
        } catch (cause) {
          world.dies(cause)
        } finally {
          isOver = true
          db.close()
        }
      },
      /** The process is gone without a word. */
      isKilled(): void {
        isOver = true
        db.close()
      },
    }
  } catch (cause) {
    isOver = true
    db.close()
    throw cause
  }
}

export type FaultDaemon = ReturnType<typeof openFaultDaemon>

function newestIn({ snapshot, since }: ReturnType<Store['resume']>): Instant | null {
  return snapshot === null ? (since.at(-1)?.at ?? null) : instantIn(snapshot)
}
