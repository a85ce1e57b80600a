import { randomBytes } from 'node:crypto'
import { join } from 'node:path'
import type { Settings } from '../schemas/settings.ts'
import { minutes, seconds } from '../schemas/amounts.ts'
import type { Instant } from '../schemas/units.ts'
import { instantIn } from '../shared/judging/snapshot.ts'
import { catalogue, profileOf } from '../shared/species/catalogue.ts'
import { durationWords } from '../shared/telling/words.ts'
import { openDesk } from './app/desk.ts'
import { type House, openHouse } from './app/house.ts'
import { houseClock } from './app/house-clock.ts'
import { makeIntake } from './app/ingest.ts'
import { openKeeping } from './app/keeping.ts'
import { openSignals } from './app/signals.ts'
import { newHousehold } from './app/new-household.ts'
import { rememberSources } from './app/sources.ts'
import { houseAddress } from './host/address.ts'
import { watchCertificate } from './host/certificate.ts'
import { machineClock } from './host/clock.ts'
import { diskSpace } from './host/disk-space.ts'
import { startHeartbeat } from './host/heartbeat.ts'
import { keepListening } from './host/listening.ts'
import { openLog } from './host/log.ts'
import { watchLoop } from './host/loop-watch.ts'
import { hmacSeal } from './host/seal.ts'
import { systemdSupervisor } from './host/supervisor.ts'
import { isSynchronised } from './host/time-sync.ts'
import { machineTimer } from './host/timer.ts'
import { buildServer, renewTls } from './http/server.ts'
import { forPractice, openBroker } from './main/broker.ts'
import { addressOf, webRoot } from './main/own-address.ts'
import { backupsFolderOf, type OpenKept, openKept } from './main/kept.ts'
import { beginPractice } from './main/practising.ts'
import { sendersOf, vapidKeysOf } from './main/senders.ts'
import { sparing } from './main/sparing.ts'
import { watchStages } from './main/stages.ts'
import { type Kept, practiceStores } from './main/stores.ts'
import { openTelling } from './main/telling.ts'
import { makeListener } from './mqtt/claim.ts'
import { deviceLogins } from './mqtt/devices.ts'
import { connectionTo } from './mqtt/sensor-login.ts'
import type { Backups, Clock, Log, Store, Supervisor } from './ports.ts'
import { practiceHousehold } from './practice/household.ts'
import { type PracticeClock, practiceClock } from './practice/practice-clock.ts'
import { lockFolder } from './sqlite/lock-folder.ts'
import { sqliteBackups } from './sqlite/backups.ts'

/** How often time is judged between readings; timers carry their own instants, so this only delays the telling. */
const tickEvery = seconds(0.5)
/** A judge that has not looked at the time for so long does not watch. */
const stalledAfter = seconds(10)
const foldEvery = seconds(30)
const sweepEvery = minutes(60)
/** How often a disk that took nothing is asked again. */
const bringBackEvery = minutes(1)
/** Downtime shorter than this is a restart, not a gap worth a line. */
const gapFrom = minutes(2)
const practiceNights = 14
/** Then the page opens all the same, and says what is wrong: fourteen nights take about three seconds. */
const longestFill = seconds(30)

/** `reopen`: the disk takes everything again, and the real household goes on from there. */
type Next = 'stop' | 'practice' | 'real' | 'reopen'

/** Runs until told to stop; gives the exit code. The one place that knows both the core and the world. */
export async function runDaemon({
  settings,
  practice,
}: {
  settings: Settings
  practice: boolean
}): Promise<number> {
  const log = openLog(settings.logLevel, process.stdout)
  const real = machineClock()
  const supervisor = systemdSupervisor({ env: process.env, clock: real, log })
  let lock = lockFolder(settings.data)
  let kept = openKept(settings, real.now(), log)
  const stopped = new Promise<Next>((resolve) => {
    for (const signal of ['SIGTERM', 'SIGINT'] as const) process.once(signal, () => resolve('stop'))
  })
  try {
    for (let next: Next = practice ? 'practice' : 'real'; next !== 'stop'; ) {
      if (next === 'reopen') {
        kept.close()
        if (!lock.isHeld) lock = lockFolder(settings.data)
        kept = openKept(settings, real.now(), log)
      }
      next = await runHouse({
        settings,
        log,
        real,
        supervisor,
        kept,
        stopped,
        isPractice: next === 'practice',
      })
    }
  } finally {
    kept.close()
    lock.release()
  }
  return 0
}

interface World {
  readonly settings: Settings
  readonly log: Log
  readonly real: Clock
  readonly supervisor: Supervisor
  /** The real household's. */
  readonly kept: OpenKept
  readonly stopped: Promise<Next>
  readonly isPractice: boolean
}

/** Runs one household, the real or the invented one, until stopped or switched. */
async function runHouse(world: World): Promise<Next> {
  const { log, real, supervisor, stopped, isPractice } = world
  const { people, opened } = world.kept
  const settings = isPractice ? forPractice(world.settings) : world.settings
  const practiceTime: PracticeClock | null = isPractice ? practiceClock(real, practiceNights) : null
  const timer = machineTimer()
  const kept: Kept = isPractice ? practiceStores(settings, log) : world.kept
  const { store } = kept
  const resumed = store.resume()
  const houseTime =
    practiceTime === null ? houseClock({ machine: real, newest: newestIn(resumed), isSynchronised }) : null
  const clock: Clock = practiceTime ?? houseTime ?? real
  const zone = settings.timeZone ?? Intl.DateTimeFormat().resolvedOptions().timeZone
  let switchTo: (next: Next) => void = () => {}
  const switched = new Promise<Next>((resolve) => {
    switchTo = resolve
  })

  const seal = hmacSeal(
    Buffer.from(
      people.secret('linkKey', () => randomBytes(32).toString('base64url')),
      'base64url',
    ),
  )
  const keys = vapidKeysOf(people)
  let port = settings.http.port
  const address = () => addressOf(settings, port)
  const house = openHouse({
    store,
    resumed,
    clock,
    timer,
    log,
    profileOf,
    commitEvery: settings.store.commitEvery,
    messages: { seal, address, isPractice },
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
    patience: isEmbedded ? 'sensorWaits' : 'brokerWaits',
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
    waiting: () => house.waiting(),
    clockNow: () => ({
      isTrusted: houseTime?.isTrusted() ?? true,
      sentence: houseTime?.isTrusted() === false ? (house.state().stages.clock?.text ?? null) : null,
    }),
  })
  if (!isPractice)
    world.kept.onDamage(() =>
      house.housekeeping(
        'damage',
        new Error(
          'The database is damaged. Restart Brumal: it sets the damaged file aside and goes on with what can be saved and the newest good backup.',
        ),
      ),
    )

  const desk = openDesk({
    house,
    store,
    clock,
    sources,
    catalogue,
    profileOf,
    connection: () =>
      connectionTo(settings, broker, houseAddress(), kept.devices.isSharedLoginOpen() ? password : null),
    telling,
    seal,
    roleOf: (id) => people.people().find((person) => person.id === id)?.role ?? null,
    keeping,
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
        timer.after(seconds(0.2), () => switchTo(on ? 'practice' : 'real'))
        return { ok: true, value: null }
      },
    },
  })

  const started = clock.now()
  const downFor = started - (newestIn(resumed) ?? started)
  house.note({
    at: started,
    kind: 'started',
    by: 'brumal',
    ...(downFor >= gapFrom ? { text: `It had not been watching for ${durationWords(downFor)}.` } : {}),
  })
  house.take({ kind: 'listening', at: started }, 'soon')
  stages.begin(isPractice ? { way: 'asItWas', sentence: null } : opened)
  outbox.start()
  const signals = openSignals({ house, broker, clock, timer, log })

  broker.start(listener.onPacket)

  const { certFile, keyFile } = settings.http
  const certificate =
    certFile === undefined || keyFile === undefined
      ? null
      : watchCertificate({ certFile, keyFile }, log, (renewed) => renewTls(server, renewed))
  const server = await buildServer({
    desk,
    devices: logins.devices,
    address,
    ...(certificate === null ? {} : { tls: certificate.first }),
    trustProxy: ['loopback', ...settings.http.proxies],
    people,
    clock: real,
    log,
    random: randomBytes,
    webRoot: webRoot(),
    onSetupCode: (code) => process.stdout.write(`\n  First visit: enter the set-up code  ${code}\n\n`),
  })
  const practising =
    practiceTime === null ? null : beginPractice(settings, broker, password, practiceTime, house, log)
  if (practising !== null)
    await Promise.race([
      practising.filled,
      stopped,
      new Promise((resolve) => timer.after(longestFill, () => resolve(null))),
    ])
  const listening = keepListening(server, settings.http, log, (open) => {
    port = open
    const scheme = certificate === null ? 'http' : 'https'
    log.info(
      { port, practice: isPractice },
      `Brumal ${isPractice ? 'practises' : 'is watching'}: ${scheme}://localhost:${port} here, ${address()} in the house.`,
    )
  })
  let lastTick = real.uptime()
  const tick = setInterval(() => {
    lastTick = real.uptime()
    stages.attend()
    supervisor.alive()
    if (practising === null || practising.isLive())
      house.take({ kind: 'timePassed', at: clock.now() }, 'group')
  }, tickEvery)
  const folding = setInterval(
    sparing('fold', () => house.fold(), house, log),
    foldEvery,
  )
  const sweeping = setInterval(
    sparing('sweep', () => people.endExpired(real.now()), house, log),
    sweepEvery,
  )
  keeping.start()
  const { bringBack } = world.kept
  const returning =
    bringBack === null || isPractice
      ? null
      : setInterval(() => {
          bringBack()
            .then((isBack) => isBack && switchTo('reopen'))
            .catch((error: unknown) => log.warn({ err: error }, 'The disk does not take everything yet.'))
        }, bringBackEvery)
  supervisor.ready()

  const { url, every } = settings.heartbeat
  const heart =
    url === undefined || isPractice
      ? null
      : startHeartbeat({
          url,
          every,
          isWell: () => real.uptime() - lastTick < stalledAfter,
          clock: real,
          log,
        })

  const next = await Promise.race([stopped, switched])

  if (next === 'stop') supervisor.stopping()

  // Nothing new comes in, what is in hand is settled, then the doors close.
  log.info({ next }, whyEnds[next])
  clearInterval(tick)
  clearInterval(folding)
  clearInterval(sweeping)
  if (returning !== null) clearInterval(returning)
  listening.stop()
  await practising?.stop()
  await keeping.stop()
  heart?.stop()
  certificate?.stop()
  await signals.stop()
  await outbox.stop()
  const stopping = broker.stop()
  house.commit()
  await stopping
  house.note({ at: clock.now(), kind: 'stopped', by: 'brumal' })
  house.close()
  await server.close()
  if (isPractice) store.close()
  return next
}

const whyEnds: Record<Next, string> = {
  stop: 'Stopping.',
  practice: 'Changing households.',
  real: 'Changing households.',
  reopen: 'The disk takes everything again; going on from there.',
}

/** Practice makes its copies in its own folder, which goes with it. */
function backupsOf(settings: Settings, isPractice: boolean): Backups {
  const { data, backup } = settings
  const practice = join(data, 'practice')
  return isPractice
    ? sqliteBackups(practice, { folder: join(practice, 'backups'), keep: backup.keep, ownDisk: false })
    : sqliteBackups(data, { ...backup, folder: backupsFolderOf(settings) })
}

/** The latest instant that judging had come to: what a clock at boot may not lie before (N3). */
function newestIn({ snapshot, since }: ReturnType<Store['resume']>): Instant | null {
  try {
    const last = since.at(-1)?.at ?? null
    if (snapshot === null) return last
    const judged = instantIn(snapshot)
    return last !== null && last > judged ? last : judged
  } catch {
    return null // the house says that it cannot be read
  }
}

function isEmpty(house: House): boolean {
  const { places, sensors, animals } = house.state().layout.household
  return places.length + sensors.length + animals.length === 0
}
