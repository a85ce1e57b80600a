import { afterEach, describe, expect, test } from 'vitest'
import { seededRandom } from '../../daemon/practice/random.ts'
import type { Alarm } from '../../schemas/alarm.ts'
import { type Daemon, startDaemon } from '../support/daemon.ts'
import { alarmsOf, lostOf, readKept } from '../support/kept-waves.ts'
import { endMortals, type MortalDaemon, startMortal } from '../support/mortal-daemon.ts'
import { freePort, type Mosquitto, mosquittoMissing, startMosquitto } from '../support/mosquitto.ts'
import { tapInFrontOf, type Tap } from '../support/mqtt-tap.ts'
import { loginOf, publishersOf, type StubbornPublisher } from '../support/stubborn-publisher.ts'
import { until } from '../support/until.ts'
import { makeWaves, untilCaughtUp, waveSensors, type Waves, wavyHouse } from '../support/waves.ts'

/** Kills while publishes are in flight: a hundred together in the long run, and enough to notice in the everyday one. */
const isLong = process.env['RUN_LONG'] === '1'
const killsEmbedded = isLong ? 60 : 3
const killsExternal = isLong ? 40 : 3
/** Every so many kills the next start is killed too, before it has come far. */
const killInStartUpEvery = isLong ? 10 : 2
/** A kill comes at a random instant within this many ms of the daemon's first being reached, or of its start. */
const longestLife = 250
const longestStartUp = 700

const seed = Number(process.env['KILL_SEED'] ?? Date.now() % 1_000_000)
const random = seededRandom(seed)

let undo: (() => unknown)[] = []
afterEach(async () => {
  for (const step of undo.toReversed()) await step()
  undo = []
  await endMortals()
})

/** A house that is set up and watched, and gone when the test is over. */
async function aHouse(env: NodeJS.ProcessEnv): Promise<Daemon> {
  const daemon = await startDaemon({ env })
  undo.push(() => daemon.stop())
  await wavyHouse(daemon)
  return daemon
}

function measure(publishers: () => readonly StubbornPublisher[]): Waves {
  const waves = makeWaves(() => publishers().forEach((publisher) => publisher.pump()))
  undo.push(() => waves.stop())
  return waves
}

async function publishersTo(port: () => number, waves: Waves, daemon: Daemon | null) {
  const all = publishersOf(waves, port, daemon === null ? {} : await loginOf(daemon))
  undo.push(() => Promise.all(all.map((one) => one.stop())))
  return all
}

const instantOfKill = (within: number) =>
  new Promise((resolve) => setTimeout(resolve, random.uniform() * within))

interface Killing {
  readonly inFlight: readonly number[]
  readonly inStartUp: number
}

/** Starts the daemon and kills it, again and again. `isReached` and `inFlight` are of the daemon that runs just then. */
async function killAgainAndAgain(
  kills: number,
  start: () => MortalDaemon,
  load: { readonly isReached: () => boolean; readonly inFlight: () => number },
): Promise<Killing> {
  const inFlight: number[] = []
  let inStartUp = 0
  while (inFlight.length < kills) {
    if (inFlight.length % killInStartUpEvery === killInStartUpEvery - 1) {
      const early = start()
      await instantOfKill(longestStartUp)
      expect(await early.kill()).toEqual([null, 'SIGKILL'])
      inStartUp += 1
    }
    const daemon = start()
    const check = (isTrue: () => boolean) => () => {
      daemon.expectAlive()
      return isTrue()
    }
    await until(check(load.isReached), 'the daemon to be reached', 30_000)
    await instantOfKill(longestLife)
    await until(
      check(() => load.inFlight() > 0),
      'a publish to be in flight',
      10_000,
    )
    inFlight.push(load.inFlight())
    expect(await daemon.kill()).toEqual([null, 'SIGKILL'])
  }
  expect(inFlight).toHaveLength(kills)
  expect(Math.min(...inFlight)).toBeGreaterThan(0)
  return { inFlight, inStartUp }
}

/** Without the value, which with a delay is the newest that had been read when it ran out. */
const standing = async (daemon: Daemon): Promise<Omit<Alarm, 'value'>[]> =>
  (await daemon.alarms()).standing
    .map(({ value: _, ...alarm }) => alarm)
    .sort((a, b) => a.id.localeCompare(b.id))

/** What was acknowledged is kept once and as measured, and the alarms are those of a daemon that was never killed. */
async function compare(killed: Daemon, unharmed: Daemon, waves: Waves, acknowledged: ReadonlySet<string>) {
  await untilCaughtUp(killed, waves)
  await untilCaughtUp(unharmed, waves)
  // The last delays run out in both.
  await until(
    async () => JSON.stringify(await standing(killed)) === JSON.stringify(await standing(unharmed)),
    'the same alarms to stand',
  ).catch(() => {})
  expect(await standing(killed)).toEqual(await standing(unharmed))
  expect(await killed.kill('SIGTERM')).toBe(0)
  expect(await unharmed.kill('SIGTERM')).toBe(0)
  const [kept, whole] = [readKept(killed.folder), readKept(unharmed.folder)]
  expect(kept.integrity).toBe('ok')
  const { lost, changed } = lostOf(kept, acknowledged, waves.all())
  const alarms = alarmsOf(kept.journal)
  expect({ lost, changed, doubled: kept.doubled }).toEqual({ lost: [], changed: [], doubled: 0 })
  expect(kept.values.size).toBe(waves.all().length) // all were acknowledged in the end
  expect(whole.values.size).toBe(waves.all().length)
  expect(alarms).toEqual(alarmsOf(whole.journal))
  expect(alarms.length).toBeGreaterThan(isLong ? 2 * waveSensors.length : 0)
  expect(new Set(alarms).size).toBe(alarms.length)
  return `${acknowledged.size} acknowledged, ${lost.length} lost, ${kept.doubled} doubled, ${alarms.length} alarms raised or returned as without kills`
}

const tell = (broker: string, { inFlight, inStartUp }: Killing, figures: string) => {
  const mean = inFlight.reduce((sum, n) => sum + n, 0) / inFlight.length
  process.stdout.write(
    `kill under load, ${broker}, seed ${seed}: ${inFlight.length} kills with ${mean.toFixed(0)} publishes in flight on average (least ${Math.min(...inFlight)}), ${inStartUp} more in start-up; ${figures}\n`,
  )
}

describe(`a daemon that is killed while readings pour in (KILL_SEED=${seed})`, () => {
  test(`L5, L7: with the broker inside nothing acknowledged is lost or doubled, and the alarms are the same, ${killsEmbedded} kills`, {
    timeout: 300_000,
  }, async () => {
    const port = await freePort()
    const env = { BRUMAL_MQTT_PORT: String(port) }
    const killed = await aHouse(env)
    const unharmed = await aHouse({})
    let all: readonly StubbornPublisher[] = []
    const waves = measure(() => all)
    const { port: otherPort } = await unharmed.connection()
    const publishers = await publishersTo(() => port, waves, killed)
    all = [...publishers, ...(await publishersTo(() => otherPort, waves, unharmed))]
    const sum = (of: (one: StubbornPublisher) => number) => publishers.reduce((n, one) => n + of(one), 0)
    expect(await killed.kill('SIGTERM')).toBe(0)
    await until(() => publishers.every((one) => !one.isConnected()), 'the devices to notice')

    const killing = await killAgainAndAgain(killsEmbedded, () => startMortal(killed.folder, env), {
      isReached: () => publishers.some((one) => one.isConnected()),
      inFlight: () => sum((one) => one.inFlight()),
    })
    // few kills in quick succession leave no time for one: nothing would have been compared
    await until(async () => (await standing(unharmed)).length > 0, 'an alarm to be raised', 60_000)
    waves.stop()
    await killed.again()
    await until(
      () => sum((one) => one.acknowledged.size) === waves.all().length,
      'everything to be acknowledged',
      60_000,
    )
    const acknowledged = new Set(publishers.flatMap((one) => [...one.acknowledged]))
    const figures = await compare(killed, unharmed, waves, acknowledged)
    const resent = sum((one) => one.resent())
    expect(resent).toBeGreaterThanOrEqual(killsEmbedded)
    tell('broker inside', killing, `${figures}, ${resent} sent again`)
  })

  test.skipIf(mosquittoMissing !== null)(
    `L5, L7: behind a Mosquitto that keeps our session the same holds, ${killsExternal} kills`,
    { timeout: 300_000 },
    async () => {
      // The default of 1000 waiting messages would let Mosquitto drop what it acknowledged.
      const mosquitto: Mosquitto = await startMosquitto({ config: ['max_queued_messages 0'] })
      undo.push(() => mosquitto.stop())
      const wire = await tapInFrontOf(() => mosquitto.port)
      undo.push(() => wire.close())
      const env = { BRUMAL_BROKER_URL: `mqtt://127.0.0.1:${wire.port}` }
      const killed = await aHouse(env)
      const unharmed = await aHouse({ BRUMAL_BROKER_URL: mosquitto.url, BRUMAL_BROKER_CLIENT_ID: 'unharmed' })
      for (const daemon of [killed, unharmed])
        await until(async () => (await daemon.tonight()).broker.name === 'up', 'the broker')
      let publishers: readonly StubbornPublisher[] = []
      const waves = measure(() => publishers)
      publishers = await publishersTo(() => mosquitto.port, waves, null)
      expect(await killed.kill('SIGTERM')).toBe(0)

      const delivery = watchDelivery(wire)
      const killing = await killAgainAndAgain(
        killsExternal,
        () => {
          delivery.startAnew()
          return startMortal(killed.folder, env)
        },
        delivery,
      )
      // few kills in quick succession leave no time for one: nothing would have been compared
      await until(async () => (await standing(unharmed)).length > 0, 'an alarm to be raised', 60_000)
      waves.stop()
      await until(
        () => publishers.reduce((n, one) => n + one.acknowledged.size, 0) === waves.all().length,
        'Mosquitto to have acknowledged everything',
        60_000,
      )
      delivery.startAnew()
      await killed.again()
      const acknowledged = new Set(publishers.flatMap((one) => [...one.acknowledged]))
      const figures = await compare(killed, unharmed, waves, acknowledged)
      expect(delivery.redelivered()).toBeGreaterThanOrEqual(killsExternal)
      tell('Mosquitto', killing, `${figures}, ${delivery.redelivered()} sent again`)
    },
  )
})

/** What Mosquitto has sent to the daemon on its newest connection and the daemon has not acknowledged. */
function watchDelivery(wire: Tap) {
  let seen = wire.seen.length
  let sent = 0
  let answered = 0
  let redelivered = 0
  const look = () => {
    for (; seen < wire.seen.length; seen++) {
      const { from, packet } = wire.seen[seen] as Tap['seen'][number]
      if (from === 'server' && packet.cmd === 'publish' && packet.qos === 1) {
        sent += 1
        if (packet.dup) redelivered += 1
      } else if (from === 'client' && packet.cmd === 'puback') answered += 1
    }
  }
  return {
    isReached() {
      look()
      return sent > 0
    },
    inFlight() {
      look()
      return sent - answered
    },
    /** With DUP set, as MQTT 3.1.1 §3.3.1.1 asks of what may have been sent before. */
    redelivered() {
      look()
      return redelivered
    },
    startAnew() {
      look()
      sent = 0
      answered = 0
    },
  }
}
