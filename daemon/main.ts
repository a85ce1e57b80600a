import { randomBytes } from 'node:crypto'
import type { Settings } from '../schemas/settings.ts'
import { minutes, seconds } from '../schemas/amounts.ts'
import { catalogue, profileOf } from '../shared/species/catalogue.ts'
import { durationWords } from '../shared/telling/words.ts'
import { openDesk } from './app/desk.ts'
import { type House, openHouse } from './app/house.ts'
import { makeIntake } from './app/ingest.ts'
import { openSignals } from './app/signals.ts'
import { newHousehold } from './app/new-household.ts'
import { rememberSources } from './app/sources.ts'
import { houseAddress } from './host/address.ts'
import { watchCertificate } from './host/certificate.ts'
import { machineClock } from './host/clock.ts'
import { startHeartbeat } from './host/heartbeat.ts'
import { keepListening } from './host/listening.ts'
import { openLog } from './host/log.ts'
import { hmacSeal } from './host/seal.ts'
import { machineTimer } from './host/timer.ts'
import { buildServer, renewTls } from './http/server.ts'
import { forPractice, openBroker } from './main/broker.ts'
import { addressOf, webRoot } from './main/own-address.ts'
import { beginPractice } from './main/practising.ts'
import { sendersOf, vapidKeysOf } from './main/senders.ts'
import { sparing } from './main/sparing.ts'
import { type Kept, practiceStores, storesOf } from './main/stores.ts'
import { openTelling } from './main/telling.ts'
import { makeListener } from './mqtt/claim.ts'
import { deviceLogins } from './mqtt/devices.ts'
import { connectionTo } from './mqtt/sensor-login.ts'
import type { Clock, Log, PeopleStore } from './ports.ts'
import { practiceHousehold } from './practice/household.ts'
import { type PracticeClock, practiceClock } from './practice/practice-clock.ts'
import { lockFolder } from './sqlite/lock-folder.ts'
import { openDatabase } from './sqlite/open.ts'
import { sqlitePeople } from './sqlite/people.ts'

/** How often time is judged between readings; timers carry their own instants, so this only delays the telling. */
const tickEvery = seconds(0.5)
/** A judge that has not looked at the time for so long does not watch. */
const stalledAfter = seconds(10)
const foldEvery = seconds(30)
const sweepEvery = minutes(60)
/** Downtime shorter than this is a restart, not a gap worth a line. */
const gapFrom = minutes(2)
const practiceNights = 14
/** Then the page opens all the same, and says what is wrong: fourteen nights take about three seconds. */
const longestFill = seconds(30)

type Next = 'stop' | 'practice' | 'real'

/** Runs until told to stop; gives the exit code. The one place that knows both the core and the world. */
export async function runDaemon({
  settings,
  practice,
}: {
  settings: Settings
  practice: boolean
}): Promise<number> {
  const log = openLog(settings.logLevel, process.stdout)
  const lock = lockFolder(settings.data)
  const db = openDatabase(settings.data, { log })
  const people = sqlitePeople(db)
  const kept = storesOf(db)
  const stopped = new Promise<Next>((resolve) => {
    for (const signal of ['SIGTERM', 'SIGINT'] as const) process.once(signal, () => resolve('stop'))
  })
  try {
    for (let next: Next = practice ? 'practice' : 'real'; next !== 'stop'; )
      next = await runHouse({ settings, log, people, kept, stopped, isPractice: next === 'practice' })
  } finally {
    kept.store.close()
    lock.release()
  }
  return 0
}

interface World {
  readonly settings: Settings
  readonly log: Log
  readonly people: PeopleStore
  /** The real household's. */
  readonly kept: Kept
  readonly stopped: Promise<Next>
  readonly isPractice: boolean
}

/** Runs one household, the real or the invented one, until stopped or switched. */
async function runHouse(world: World): Promise<Next> {
  const { log, people, stopped, isPractice } = world
  const settings = isPractice ? forPractice(world.settings) : world.settings
  const real = machineClock()
  const practiceTime: PracticeClock | null = isPractice ? practiceClock(real, practiceNights) : null
  const clock: Clock = practiceTime ?? real
  const timer = machineTimer()
  const kept = isPractice ? practiceStores(settings, log) : world.kept
  const { store } = kept
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
  const intake = makeIntake({ house, sources, clock, timer, patience: () => (isEmbedded ? 'soon' : 'group') })
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
  const downFor = started - house.state().at
  house.note({
    at: started,
    kind: 'started',
    by: 'brumal',
    ...(downFor >= gapFrom ? { text: `It had not been watching for ${durationWords(downFor)}.` } : {}),
  })
  house.take({ kind: 'listening', at: started }, 'soon')
  outbox.start()
  const signals = openSignals({ house, broker, clock, timer, log })

  broker.onState((state) => {
    house.publish({ kind: 'broker', broker: state })
    if (state.name === 'starting') return
    house.note({
      at: clock.now(),
      kind: state.name === 'up' ? 'brokerUp' : 'brokerDown',
      by: 'brumal',
      text: state.sentence,
    })
  })
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
    if (practising === null || practising.isLive())
      house.take({ kind: 'timePassed', at: clock.now() }, 'group')
  }, tickEvery)
  const folding = setInterval(
    sparing(() => house.fold(), log),
    foldEvery,
  )
  const sweeping = setInterval(
    sparing(() => people.endExpired(real.now()), log),
    sweepEvery,
  )

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

  // Nothing new comes in, what is in hand is settled, then the doors close.
  log.info({ next }, next === 'stop' ? 'Stopping.' : 'Changing households.')
  clearInterval(tick)
  clearInterval(folding)
  clearInterval(sweeping)
  listening.stop()
  await practising?.stop()
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

function isEmpty(house: House): boolean {
  const { places, sensors, animals } = house.state().layout.household
  return places.length + sensors.length + animals.length === 0
}
