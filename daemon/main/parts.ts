import { randomBytes } from 'node:crypto'
import { join } from 'node:path'
import type { Settings } from '../../schemas/settings.ts'
import { seconds } from '../../schemas/amounts.ts'
import { catalogue, profileOf } from '../../shared/species/catalogue.ts'
import { morningList } from '../../shared/telling/morning-list.ts'
import { openDesk } from '../app/desk.ts'
import { type House, openHouse } from '../app/house.ts'
import { houseClock } from '../app/house-clock.ts'
import { makeIntake } from '../app/ingest.ts'
import { openImports } from '../app/imports.ts'
import { openKeeping } from '../app/keeping.ts'
import { openMetrics } from '../app/metrics.ts'
import { newHousehold } from '../app/new-household.ts'
import type { OutlookMemory } from '../app/outlook-now.ts'
import { openOutlooks } from '../app/outlooks.ts'
import { rememberSources } from '../app/sources.ts'
import { houseAddress } from '../host/address.ts'
import { diskSpace } from '../host/disk-space.ts'
import { watchLoop } from '../host/loop-watch.ts'
import { scratchFolder } from '../host/scratch.ts'
import { hmacSeal } from '../host/seal.ts'
import { isSynchronised } from '../host/time-sync.ts'
import { machineTimer } from '../host/timer.ts'
import { makeListener } from '../mqtt/claim.ts'
import { deviceLogins } from '../mqtt/devices.ts'
import { connectionTo } from '../mqtt/sensor-login.ts'
import type { Clock } from '../ports/clock.ts'
import type { Backups } from '../ports/keeping.ts'
import type { Log } from '../ports/log.ts'
import { practiceHousehold } from '../practice/household.ts'
import { type PracticeClock, practiceClock } from '../practice/practice-clock.ts'
import { sqliteBackups } from '../sqlite/backups.ts'
import { forPractice, openBroker } from './broker.ts'
import { openUpstream } from './forwarding.ts'
import { backupsFolderOf, type OpenKept } from './kept.ts'
import { newestIn } from './newest.ts'
import { programFacts } from './program-facts.ts'
import { addressOf } from './own-address.ts'
import { stalledAfter, tickEvery } from './rhythms.ts'
import { sendersOf, vapidKeysOf } from './senders.ts'
import { watchStages } from './stages.ts'
import { type Kept, practiceStores } from './stores.ts'
import { openTelling } from './telling.ts'

const practiceNights = 14

export type Parts = ReturnType<typeof putTogether>

/** Everything that one household runs on, put together and not yet started. */
export function putTogether(world: {
  readonly settings: Settings
  readonly log: Log
  readonly real: Clock
  /** The real household's. */
  readonly kept: OpenKept
  readonly isPractice: boolean
  /** Somebody wants the other household. */
  readonly onSwitch: (next: 'practice' | 'real') => void
}) {
  const { log, real, isPractice } = world
  const { people } = world.kept
  const settings = isPractice ? forPractice(world.settings) : world.settings
  const practiceTime: PracticeClock | null = isPractice ? practiceClock(real, practiceNights) : null
  const timer = machineTimer()
  const kept: Kept = isPractice ? practiceStores(settings, real.now(), log) : world.kept
  const { store } = kept
  const resumed = store.resume()
  const houseTime =
    practiceTime === null ? houseClock({ machine: real, newest: newestIn(resumed), isSynchronised }) : null
  const clock: Clock = practiceTime ?? houseTime ?? real
  const zone = settings.timeZone ?? Intl.DateTimeFormat().resolvedOptions().timeZone
  const seal = hmacSeal(
    Buffer.from(
      people.secret('linkKey', () => randomBytes(32).toString('base64url')),
      'base64url',
    ),
  )
  const keys = vapidKeysOf(people)
  let port = settings.http.port
  const address = () => addressOf(settings, port)
  const outlookMemory: OutlookMemory = new Map()
  const house = openHouse({
    store,
    resumed,
    clock,
    timer,
    log,
    profileOf,
    commitEvery: settings.store.commitEvery,
    messages: {
      seal,
      address,
      isPractice,
      outlooks: outlookMemory,
      // Nobody is to be sent to an invented animal.
      ...(!isPractice && { tasksToday: () => morningList(desk.day(0).due) }),
    },
    newHousehold: () => (isPractice ? practiceHousehold(real.now(), zone) : newHousehold(zone)),
  })
  const sources = rememberSources()
  const isEmbedded = settings.mqtt.broker === undefined
  const password = people.secret('sensorPassword', () => randomBytes(9).toString('base64url'))
  const logins = deviceLogins({
    store: kept.devices,
    sharedPassword: password,
    random: randomBytes,
    clock: real,
    address: () => ({ host: houseAddress(), port: broker.port?.() ?? settings.mqtt.port }),
    isOurs: isEmbedded,
  })
  const broker = openBroker(settings, logins.checkLogin, real, log)
  const loop = watchLoop({ uptime: () => real.uptime(), every: tickEvery, tolerated: stalledAfter })
  const stages = watchStages({ house, broker, houseTime, clock, loop })
  const intake = makeIntake({
    house,
    sources,
    clock,
    timer,
    onStamp: (stamp) => stages.onStamp(stamp),
  })
  const listener = makeListener({ clock, intake })
  listener.useSensors(house.state().layout.sensors)

  const { outbox, telling } = openTelling({
    house,
    store: kept.outbox,
    people,
    senders: sendersOf(settings, keys, real),
    pushKey: keys.publicKey,
    address,
    clock,
    timer,
    log,
  })

  const forwarding = openUpstream({ settings, kept, house, clock, real, timer, log })
  const keeping = openKeeping({
    store,
    backups: backupsOf(settings, isPractice),
    disk: diskSpace(settings.data),
    clock,
    timer,
    log,
    zone: () => house.state().layout.household.timeZone,
    // The invented household is made anew each time.
    settings: isPractice ? { ...settings, backup: { ...settings.backup, isOn: false } } : settings,
    onStage: (stage, isWell, text) => house.report(stage, isWell, text),
    note: (entry) => house.note(entry),
    isOnDisk: () => house.failure() === null,
    upstream: () => forwarding?.now(),
    waiting: () => house.waiting(),
    clockNow: () => ({
      isTrusted: houseTime?.isTrusted() ?? true,
      sentence: houseTime?.isTrusted() === false ? (house.state().stages.clock?.text ?? null) : null,
    }),
  })
  const pause = () => new Promise<void>((resolve) => timer.soon(resolve))
  const outlooks = openOutlooks({ house, store, clock, timer, pause, memory: outlookMemory })
  const imports = openImports({
    house,
    store,
    scratch: scratchFolder(join(settings.data, isPractice ? 'practice/tables' : 'tables')),
    clock,
    log,
    pause,
  })
  const connection = () =>
    connectionTo(settings, broker, houseAddress(), kept.devices.isSharedLoginOpen() ? password : null)
  const desk = openDesk({
    house,
    store,
    diary: kept.diary,
    clock,
    sources,
    catalogue,
    profileOf,
    connection,
    ...openMetrics({
      house,
      clock,
      sources,
      outbox,
      keeping,
      connection,
      isPractice,
      program: programFacts(real, loop),
    }),
    telling,
    seal,
    roleOf: (id) => people.people().find((person) => person.id === id)?.role ?? null,
    keeping,
    pause,
    outlooks,
    imports,
    onSensors: (household) => listener.useSensors(household.sensors),
    practice: {
      practice: () => ({ running: isPractice, offered: isPractice || isEmpty(house) }),
      switchPractice(on, by) {
        if (on === isPractice || (on && !isEmpty(house)))
          return {
            ok: false,
            error: 'notOffered',
            sentence: 'Practice can be started only where nothing is set up yet.',
          }
        log.info({ by }, on ? 'Switching to the practice household.' : 'Leaving the practice household.')
        // The answer goes out before the server that carries it closes.
        timer.after(seconds(0.2), () => world.onSwitch(on ? 'practice' : 'real'))
        return { ok: true, value: null }
      },
    },
  })

  return {
    settings,
    practiceTime,
    timer,
    clock,
    store,
    resumed,
    people,
    house,
    broker,
    password,
    logins,
    stages,
    listener,
    outbox,
    keeping,
    forwarding,
    outlooks,
    imports,
    desk,
    address,
    /** The port that the page was given in the end, where 0 was asked for. */
    onPort(open: number): void {
      port = open
    },
  }
}

/** Practice makes its copies in its own folder, which goes with it. */
function backupsOf(settings: Settings, isPractice: boolean): Backups {
  const { data, backup } = settings
  const practice = join(data, 'practice')
  return isPractice
    ? sqliteBackups(practice, { folder: join(practice, 'backups'), keep: backup.keep, ownDisk: false })
    : sqliteBackups(data, { ...backup, folder: backupsFolderOf(settings) })
}

function isEmpty(house: House): boolean {
  const { places, sensors, animals } = house.state().layout.household
  return places.length + sensors.length + animals.length === 0
}
