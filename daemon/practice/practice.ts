import mqtt, { type MqttClient } from 'mqtt'
import type { SensorId } from '../../schemas/ids.ts'
import type { Reading } from '../../schemas/reading.ts'
import { later, millis, minutes, seconds } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Log } from '../ports/log.ts'
import { drifted } from './drift-script.ts'
import { practiceTimeZone, practiceTopic } from './household.ts'
import type { PracticeClock } from './practice-clock.ts'
import { practiceScenario } from './practice-scenario.ts'
import { senmlPack } from './senml-pack.ts'
import { startSimulation, type Simulation } from './simulate.ts'

export interface PracticeOptions {
  readonly brokerUrl: string
  readonly user?: string | undefined
  readonly password?: string | undefined
  /** Where it stands decides how much past is filled. */
  readonly clock: PracticeClock
  readonly log: Log
  /** That of the practice household. */
  readonly timeZone?: string
  /** Share of the past that is filled, above 0 up to 1 (included). */
  readonly onProgress?: (share: number) => void
  /**
   * The clock stands at `at`, and the broker has acknowledged everything up to then. Silence must be judged here and at
   * no other time while the past is filled: between the clock's step and this call every device seems silent.
   */
  readonly onStep?: (at: Instant) => void | Promise<void>
}

export interface Practice {
  /** Resolves when the past is filled and the devices run live, or when stopped; rejects when the broker or `onStep` fails. */
  readonly ready: Promise<void>
  /** Resolves when nothing runs any more. */
  stop(): Promise<void>
}

/**
 * The devices of the practice household on a real broker (QoS 1): first their past, as fast as the broker takes it,
 * then live, with one box that runs away again and again.
 */
export function startPractice(options: PracticeOptions): Practice {
  const { brokerUrl, user, password, clock, log } = options
  const timeZone = options.timeZone ?? practiceTimeZone
  const client = mqtt.connect(brokerUrl, {
    protocolVersion: 4,
    clientId: 'brumal-practice',
    clean: true,
    reconnectPeriod: 1000,
    connectTimeout: CONNECT_WITHIN,
    ...(user === undefined ? {} : { username: user }),
    ...(password === undefined ? {} : { password }),
  })
  client.on('error', (error) =>
    log.debug({ err: error }, 'The practice devices have trouble with the broker.'),
  )
  let liveSince: Instant | null = null
  let isStopped = false
  let timer: NodeJS.Timeout | undefined
  const simulation = startSimulation(practiceScenario(clock.now(), clock.real(), timeZone), SEED, {
    readingsOnly: true,
    adjust: (place, at, celsius) => (liveSince === null ? celsius : drifted(place, at - liveSince, celsius)),
  })

  async function run(): Promise<void> {
    await reaching(brokerUrl, connected(client))
    const from = clock.now()
    const target = clock.real()
    while (!isStopped && clock.real() - clock.now() > CLOSE_ENOUGH) {
      const to = later(clock.now(), Math.min(FILL_STEP, clock.real() - clock.now()))
      // The clock goes first: readings stamped ahead of it would be set aside (L5).
      clock.advanceTo(to)
      await reaching(brokerUrl, allPublished(client, packsUntil(simulation, to)))
      await options.onStep?.(to)
      options.onProgress?.(Math.min(1, (to - from) / (target - from)))
    }
    if (isStopped) return
    clock.live()
    liveSince = clock.now()
    simulation.skipTo(liveSince)
    simulation.pace(seconds(1), liveEvery)
    timer = setInterval(() => publishLive(client, simulation, clock.now()), LIVE_TICK)
    log.info({ devices: 'live' }, 'The practice past is filled; the devices run live.')
  }

  const running = run().catch(async (cause: unknown) => {
    if (isStopped) return // the connection was closed under it by stop()
    await client.endAsync(true)
    throw cause
  })
  return {
    ready: running,
    async stop() {
      isStopped = true
      clearInterval(timer)
      await client.endAsync(true)
      await running.catch(() => {}) // `ready` has told it
    },
  }
}

/** Any: the same past every time. */
const SEED = 20_261_125

/** One message per device and step: two weeks are 672 steps of eight messages. */
const FILL_STEP = minutes(30)
/** What is left to the live run. */
const CLOSE_ENOUGH = seconds(1)
const CONNECT_WITHIN = seconds(10)
/** A step of eight messages that is not acknowledged by then never will be. */
const ACKNOWLEDGED_WITHIN = seconds(60)
const LIVE_TICK = millis(500)
/** A machine that slept longer than this wakes in the present; the devices do not make up for it. */
const LONGEST_LEAP = seconds(60)
/** Messages under way before live readings are dropped, as a cheap sensor does: half a minute's worth (X3). */
const MOST_UNDER_WAY = 100

/** Each device at a pace of its own, every 2 to 5 s. */
const liveEvery = (sensor: SensorId) => millis(2000 + ((sensor.length * 700) % 3001))

function packsUntil(simulation: Simulation, to: Instant): Map<SensorId, string> {
  const bySensor = new Map<SensorId, Reading[]>()
  for (const event of simulation.until(to)) {
    if (event.kind !== 'reading') continue
    const known = bySensor.get(event.reading.sensor)
    if (known === undefined) bySensor.set(event.reading.sensor, [event.reading])
    else known.push(event.reading)
  }
  return new Map([...bySensor].map(([sensor, readings]) => [sensor, senmlPack(readings)]))
}

async function allPublished(client: MqttClient, packs: ReadonlyMap<SensorId, string>): Promise<void> {
  const sent = [...packs].map(([sensor, pack]) =>
    client.publishAsync(practiceTopic(sensor), pack, { qos: 1 }),
  )
  await within(ACKNOWLEDGED_WITHIN, Promise.all(sent), 'the broker does not acknowledge')
}

function publishLive(client: MqttClient, simulation: Simulation, now: Instant): void {
  if (now - simulation.now() > LONGEST_LEAP) simulation.skipTo(now)
  for (const [sensor, pack] of packsUntil(simulation, now)) {
    // Offline, mqtt.js would queue without end; a lost live reading is what silence alarms are for.
    if (!client.connected || client.queue.length > 0 || underWay(client) >= MOST_UNDER_WAY) continue
    client.publish(practiceTopic(sensor), pack, { qos: 1 })
  }
}

/** Messages sent and not yet acknowledged. */
const underWay = (client: MqttClient): number => Object.keys(client.outgoing).length

async function reaching<T>(brokerUrl: string, attempt: Promise<T>): Promise<T> {
  try {
    return await attempt
  } catch (cause) {
    throw new Error(`the practice devices cannot publish to ${brokerUrl}`, { cause })
  }
}

function connected(client: MqttClient): Promise<unknown> {
  const first = new Promise((resolve, reject) => {
    client.once('connect', resolve)
    client.once('error', reject)
    client.once('end', () => reject(new Error('closed before it was open')))
  })
  return within(CONNECT_WITHIN, first, 'no connection')
}

async function within<T>(ms: number, promise: Promise<T>, otherwise: string): Promise<T> {
  let timer: NodeJS.Timeout | undefined
  const late = new Promise<never>((_resolve, reject) => {
    timer = setTimeout(() => reject(new Error(`${otherwise} within ${ms / 1000} s`)), ms)
  })
  try {
    return await Promise.race([promise, late])
  } finally {
    clearTimeout(timer)
  }
}
