import { randomBytes } from 'node:crypto'
import { existsSync, readFileSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import type { Settings } from '../schemas/settings.ts'
import { minutes, seconds } from '../schemas/amounts.ts'
import { catalogue, profileOf } from '../shared/species/catalogue.ts'
import { durationWords } from '../shared/telling/words.ts'
import { openDesk } from './app/desk.ts'
import { type House, openHouse } from './app/house.ts'
import { makeIntake } from './app/ingest.ts'
import { newHousehold } from './app/new-household.ts'
import { rememberSources } from './app/sources.ts'
import { houseAddress } from './host/address.ts'
import { machineClock } from './host/clock.ts'
import { keepListening } from './host/listening.ts'
import { openLog } from './host/log.ts'
import { machineTimer } from './host/timer.ts'
import { buildServer } from './http/server.ts'
import { makeListener } from './mqtt/claim.ts'
import { embeddedBroker } from './mqtt/embedded.ts'
import { externalBroker } from './mqtt/external.ts'
import { connectionTo, loginsOf, sensorUser } from './mqtt/sensor-login.ts'
import type { Broker, Clock, Log, PeopleStore, Store } from './ports.ts'
import { practiceHousehold } from './practice/household.ts'
import { startPractice } from './practice/practice.ts'
import { type PracticeClock, practiceClock } from './practice/practice-clock.ts'
import { lockFolder } from './sqlite/lock-folder.ts'
import { openDatabase } from './sqlite/open.ts'
import { sqlitePeople } from './sqlite/people.ts'
import { sqliteStore } from './sqlite/store.ts'

/** How often time is judged between readings; timers carry their own instants, so this only delays the telling. */
const tickEvery = seconds(0.5)
const foldEvery = seconds(30)
const sweepEvery = minutes(60)
/** Downtime shorter than this is a restart, not a gap worth a line. */
const gapFrom = minutes(2)
const practiceNights = 14

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
  const store = sqliteStore(db)
  const stopped = new Promise<Next>((resolve) => {
    for (const signal of ['SIGTERM', 'SIGINT'] as const) process.once(signal, () => resolve('stop'))
  })
  try {
    for (let next: Next = practice ? 'practice' : 'real'; next !== 'stop'; )
      next = await runHouse({ settings, log, people, store, stopped, isPractice: next === 'practice' })
  } finally {
    store.close()
    lock.release()
  }
  return 0
}

interface World {
  readonly settings: Settings
  readonly log: Log
  readonly people: PeopleStore
  /** The real household's store. */
  readonly store: Store
  readonly stopped: Promise<Next>
  readonly isPractice: boolean
}

/** Runs one household, the real or the invented one, until stopped or switched. */
async function runHouse(world: World): Promise<Next> {
  const { log, people, store: realStore, stopped, isPractice } = world
  const settings = isPractice ? forPractice(world.settings) : world.settings
  const real = machineClock()
  const practiceTime: PracticeClock | null = isPractice ? practiceClock(real, practiceNights) : null
  const clock: Clock = practiceTime ?? real
  const timer = machineTimer()
  const store = isPractice ? practiceStore(settings, log) : realStore
  const zone = settings.timeZone ?? Intl.DateTimeFormat().resolvedOptions().timeZone
  let switchTo: (next: Next) => void = () => {}
  const switched = new Promise<Next>((resolve) => {
    switchTo = resolve
  })

  const house = openHouse({
    store,
    clock,
    timer,
    log,
    profileOf,
    commitEvery: settings.store.commitEvery,
    newHousehold: () => (isPractice ? practiceHousehold(real.now(), zone) : newHousehold(zone)),
  })
  const sources = rememberSources()
  const password = people.secret('sensorPassword', () => randomBytes(9).toString('base64url'))
  const isEmbedded = settings.mqtt.broker === undefined
  const broker = openBroker(settings, password, real, log)
  const intake = makeIntake({ house, sources, clock, timer, patience: () => (isEmbedded ? 'soon' : 'group') })
  const listener = makeListener({ clock, intake })
  listener.useSensors(house.state().layout.sensors)

  const desk = openDesk({
    house,
    store,
    clock,
    sources,
    catalogue,
    profileOf,
    connection: () => connectionTo(settings, broker, houseAddress(), password),
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

  const server = await buildServer({
    desk,
    people,
    clock: real,
    log,
    random: randomBytes,
    webRoot: webRoot(),
    onSetupCode: (code) => process.stdout.write(`\n  First visit: enter the set-up code  ${code}\n\n`),
  })
  const listening = keepListening(server, settings.http, log, (port) => {
    log.info(
      { port, practice: isPractice },
      `Brumal ${isPractice ? 'practises' : 'is watching'}: http://localhost:${port} here, http://${houseAddress()}:${port} in the house.`,
    )
  })

  const practising =
    practiceTime === null ? null : beginPractice(settings, broker, password, practiceTime, house, log)
  const tick = setInterval(() => {
    if (practising === null || practising.isLive())
      house.take({ kind: 'timePassed', at: clock.now() }, 'group')
  }, tickEvery)
  const folding = setInterval(() => house.fold(), foldEvery)
  const sweeping = setInterval(() => people.endExpired(real.now()), sweepEvery)

  const next = await Promise.race([stopped, switched])

  // Nothing new comes in, what is in hand is settled, then the doors close.
  log.info({ next }, next === 'stop' ? 'Stopping.' : 'Changing households.')
  clearInterval(tick)
  clearInterval(folding)
  clearInterval(sweeping)
  listening.stop()
  await practising?.stop()
  const stopping = broker.stop()
  house.commit()
  await stopping
  house.note({ at: clock.now(), kind: 'stopped', by: 'brumal' })
  house.close()
  await server.close()
  if (isPractice) store.close()
  return next
}

function openBroker(
  settings: Settings,
  password: string,
  clock: Clock,
  log: Log,
): Broker & { port?(): number | null } {
  const external = settings.mqtt.broker
  if (external !== undefined)
    return externalBroker({
      settings: external,
      clock,
      random: Math.random,
      log,
      readFile: (path) => readFileSync(path),
    })
  const { host, port, anonymous } = settings.mqtt
  return embeddedBroker({
    host,
    port,
    anonymous,
    checkLogin: loginsOf(password),
    clock,
    random: Math.random,
    log,
  })
}

/** The invented household lives in a folder of its own and begins afresh each time. */
function practiceStore(settings: Settings, log: Log): Store {
  const folder = join(settings.data, 'practice')
  rmSync(folder, { recursive: true, force: true })
  return sqliteStore(openDatabase(folder, { log }))
}

function beginPractice(
  settings: Settings,
  broker: Broker & { port?(): number | null },
  password: string,
  clock: PracticeClock,
  house: House,
  log: Log,
) {
  let isLive = false
  let devices: ReturnType<typeof startPractice> | null = null
  let isStopped = false
  const begin = () => {
    if (devices !== null || isStopped || broker.state().name !== 'up') return
    const { host, port } = settings.mqtt
    devices = startPractice({
      brokerUrl: `mqtt://${host === '0.0.0.0' || host === '::' ? '127.0.0.1' : host}:${broker.port?.() ?? port}`,
      user: sensorUser,
      password,
      clock,
      log,
      timeZone: house.state().layout.household.timeZone,
      onStep(at) {
        house.take({ kind: 'timePassed', at }, 'group')
        house.fold()
      },
    })
    devices.ready
      .catch((error: Error) => {
        log.error({ err: error }, 'The practice household could not begin; leave practice and try again.')
        clock.live()
      })
      .finally(() => {
        isLive = true
        house.publish({ kind: 'tonight' })
      })
  }
  broker.onState(begin)
  begin()
  return {
    isLive: () => isLive,
    async stop() {
      isStopped = true
      await devices?.stop()
    },
  }
}

/** Practice devices publish to the broker inside, whatever the house uses: their past must not go out into it. */
function forPractice(settings: Settings): Settings {
  const { broker, ...mqtt } = settings.mqtt
  return { ...settings, mqtt: { ...mqtt, port: broker === undefined ? mqtt.port : 0 } }
}

function isEmpty(house: House): boolean {
  const { places, sensors, animals } = house.state().layout.household
  return places.length + sensors.length + animals.length === 0
}

/** The built pages, beside the compiled program or, run from source, in dist/. */
function webRoot(): string | null {
  const candidates = ['../web/', '../dist/web/'].map((path) => new URL(path, import.meta.url).pathname)
  return candidates.find((path) => existsSync(join(path, 'index.html'))) ?? null
}
