import { afterAll, afterEach, describe, expect, test } from 'vitest'
import { seededRandom } from '../../daemon/practice/random.ts'
import { type Daemon, startDaemon } from '../support/daemon.ts'
import { type KeptWaves, lostOf, readKept } from '../support/kept-waves.ts'
import { endMortals, startMortal } from '../support/mortal-daemon.ts'
import { freePort, type Mosquitto, mosquittoMissing, startMosquitto } from '../support/mosquitto.ts'
import { loginOf, publishersOf, type StubbornPublisher } from '../support/stubborn-publisher.ts'
import { until } from '../support/until.ts'
import { type Made, makeWaves, untilCaughtUp, type Waves, wavyHouse } from '../support/waves.ts'

/** A reading is acknowledged, stored and settled within this time even on a busy machine. */
const inHand = 2000
const longestLoad = 600
const cleanRestarts = 2
const endsOfDaemon = 5

const seed = Number(process.env['RESTART_SEED'] ?? Date.now() % 1_000_000)
const random = seededRandom(seed)

const figures: string[] = []
let undo: (() => unknown)[] = []
afterEach(async () => {
  for (const step of undo.toReversed()) await step()
  undo = []
  await endMortals()
})
afterAll(() => {
  for (const line of figures) process.stdout.write(`broker restarted under load, seed ${seed}: ${line}\n`)
})

/** Some load, ended at a random instant. */
const someLoad = () =>
  new Promise((resolve) => setTimeout(resolve, longestLoad / 2 + (random.uniform() * longestLoad) / 2))

interface Scene {
  readonly daemon: Daemon
  readonly waves: Waves
  readonly publishers: readonly StubbornPublisher[]
  acknowledged(): ReadonlySet<string>
  /** The sensors stop, everything is acknowledged and judged, the daemon ends: what is on the disk. */
  end(): Promise<KeptWaves>
}

async function aScene(port: number | null, env: NodeJS.ProcessEnv): Promise<Scene> {
  const daemon = await startDaemon({ env })
  undo.push(() => daemon.stop())
  await wavyHouse(daemon)
  await until(async () => (await daemon.tonight()).broker.name === 'up', 'the broker')
  let publishers: readonly StubbornPublisher[] = []
  const waves = makeWaves(() => publishers.forEach((one) => one.pump()))
  undo.push(() => waves.stop())
  const [at, login] = port === null ? [(await daemon.connection()).port, await loginOf(daemon)] : [port, {}]
  publishers = publishersOf(waves, () => at, login)
  undo.push(() => Promise.all(publishers.map((one) => one.stop())))
  await until(() => publishers.every((one) => one.acknowledged.size > 0), 'the first acknowledgements')
  const acknowledged = () => new Set(publishers.flatMap((one) => [...one.acknowledged]))
  return {
    daemon,
    waves,
    publishers,
    acknowledged,
    async end() {
      waves.stop()
      await until(() => acknowledged().size === waves.all().length, 'everything to be acknowledged', 30_000)
      await untilCaughtUp(daemon, waves)
      expect(await daemon.kill('SIGTERM')).toBe(0)
      const kept = readKept(daemon.folder)
      expect(kept.integrity).toBe('ok')
      expect(kept.doubled).toBe(0)
      return kept
    },
  }
}

/** A Mosquitto whose queue has no end: the default of 1000 messages for a client that is away is a loss of its own. */
async function aMosquitto(config: readonly string[] = []): Promise<Mosquitto> {
  const mosquitto = await startMosquitto({ config: ['max_queued_messages 0', ...config] })
  undo.push(() => mosquitto.stop())
  return mosquitto
}

const behind = async (mosquitto: Mosquitto): Promise<Scene> => {
  const scene = await aScene(mosquitto.port, { BRUMAL_BROKER_URL: mosquitto.url })
  await untilHeard(scene)
  return scene
}

/** Something that was measured after now is judged, so the daemon listens again. */
async function untilHeard({ daemon }: Scene): Promise<void> {
  const now = Date.now()
  await until(
    async () => (await daemon.tonight()).places.flatMap(({ values }) => values).some(({ at }) => at > now),
    'a new reading to be judged',
    30_000,
  )
}

/** kill -9 of the broker with publishes in flight, and its return; what it had acknowledged when it died. */
async function killBroker(mosquitto: Mosquitto, { publishers, acknowledged }: Scene) {
  await until(() => publishers.some((one) => one.inFlight() > 0), 'a publish in flight')
  const at = Date.now()
  await mosquitto.kill()
  await until(() => publishers.every((one) => !one.isConnected()), 'the devices to notice')
  const before = acknowledged()
  await mosquitto.restart()
  return { at, acknowledged: before }
}

const stamp = (name: string): number => Number(name.split(' ')[1])
const sessionAlarms = ({ journal }: KeptWaves) =>
  journal.filter(({ alarmKind }) => alarmKind === 'sessionLost').map(({ kind }) => kind)

function count(title: string, scene: Scene, kept: KeptWaves): readonly string[] {
  const made: readonly Made[] = scene.waves.all()
  const { lost, changed } = lostOf(kept, scene.acknowledged(), made)
  expect(changed).toEqual([])
  const resent = scene.publishers.reduce((sum, one) => sum + one.resent(), 0)
  figures.push(
    `${title}: ${scene.acknowledged().size} acknowledged, ${lost.length} lost, ${kept.doubled} doubled, ${resent} sent again`,
  )
  return lost
}

describe.skipIf(mosquittoMissing !== null)(`a Mosquitto that restarts (RESTART_SEED=${seed})`, () => {
  test(`in good order loses nothing, ${cleanRestarts} times while we listen and once while we are away (N1)`, {
    timeout: 90_000,
  }, async () => {
    const mosquitto = await aMosquitto()
    const scene = await behind(mosquitto)
    for (let restart = 0; restart < cleanRestarts; restart++) {
      await someLoad()
      await mosquitto.restart()
      await untilHeard(scene)
    }
    await scene.daemon.kill('SIGTERM')
    await someLoad()
    await mosquitto.restart()
    await someLoad()
    await scene.daemon.again()
    const kept = await scene.end()
    expect(count(`Mosquitto, SIGTERM ${cleanRestarts + 1} times`, scene, kept)).toEqual([])
    expect(kept.values.size).toBe(scene.waves.all().length)
    expect(sessionAlarms(kept)).toEqual([])
  })

  test('by kill -9 forgets us where it never saved: what came until we were back is lost, and is told (N1)', {
    timeout: 60_000,
  }, async () => {
    const mosquitto = await aMosquitto()
    const scene = await behind(mosquitto)
    await someLoad()
    const killed = await killBroker(mosquitto, scene)
    await untilHeard(scene)
    const kept = await scene.end()
    const lost = count('Mosquitto, kill -9 while we listen, never saved', scene, kept)
    const back = kept.journal.findLast(({ kind }) => kind === 'brokerUp')?.at ?? 0
    expect(back).toBeGreaterThan(killed.at)
    expect(lost.filter((name) => stamp(name) < killed.at - inHand || stamp(name) > back)).toEqual([])
    expect(sessionAlarms(kept)).toEqual(['raised']) // it returns ten minutes later, so that it is seen
  })

  test('by kill -9 keeps our session where it saved once: only what it had in hand is lost', {
    timeout: 60_000,
  }, async () => {
    const mosquitto = await aMosquitto()
    const scene = await behind(mosquitto)
    await mosquitto.restart() // it saves when it ends
    await untilHeard(scene)
    const killed = await killBroker(mosquitto, scene)
    await untilHeard(scene)
    const kept = await scene.end()
    const lost = count('Mosquitto, kill -9 while we listen, saved before', scene, kept)
    expect(lost.filter((name) => !killed.acknowledged.has(name))).toEqual([])
    expect(lost.filter((name) => stamp(name) < killed.at - inHand)).toEqual([])
    expect(sessionAlarms(kept)).toEqual([])
  })

  // mosquitto.conf(5): what is in memory is saved every 1800 s by default; with autosave_on_changes, after so many changes.
  for (const { name, config, losesAll } of [
    { name: 'as it comes', config: [], losesAll: true },
    {
      name: 'with autosave_on_changes and autosave_interval 1',
      config: ['autosave_interval 1', 'autosave_on_changes true'],
      losesAll: false,
    },
  ])
    test(`by kill -9 while we are away, ${name}, loses ${losesAll ? 'all that waited for us' : 'at most the last moment'}`, {
      timeout: 60_000,
    }, async () => {
      const mosquitto = await aMosquitto(config)
      const scene = await behind(mosquitto)
      await mosquitto.restart() // so that our session is saved
      await untilHeard(scene)
      await scene.daemon.kill('SIGTERM')
      const storedBefore = readKept(scene.daemon.folder)
      await someLoad()
      await someLoad()
      const killed = await killBroker(mosquitto, scene)
      await someLoad()
      await scene.daemon.again()
      const kept = await scene.end()
      const lost = count(`Mosquitto, kill -9 while we are away, ${name}`, scene, kept)
      const waited = [...killed.acknowledged].filter((one) => !storedBefore.values.has(one))
      expect(waited.length).toBeGreaterThan(100)
      if (losesAll) expect(new Set(lost)).toEqual(new Set(waited))
      else {
        expect(lost.filter((one) => !waited.includes(one))).toEqual([])
        expect(lost.filter((one) => stamp(one) < killed.at - inHand / 2)).toEqual([])
        expect(lost.length).toBeLessThan(waited.length)
      }
    })
})

describe(`a daemon with the broker inside (RESTART_SEED=${seed})`, () => {
  test(`ends by SIGTERM with 0 within 5 s under load and loses nothing acknowledged, ${endsOfDaemon} times`, {
    timeout: 60_000,
  }, async () => {
    const port = await freePort()
    const env = { BRUMAL_MQTT_PORT: String(port) }
    const scene = await aScene(null, env)
    const { daemon, publishers, acknowledged, waves } = scene
    await daemon.kill('SIGTERM')
    let longest = 0
    for (let end = 0; end < endsOfDaemon; end++) {
      await until(() => publishers.every((one) => !one.isConnected()), 'the devices to notice')
      const mortal = startMortal(daemon.folder, env)
      await until(() => publishers.some((one) => one.isConnected()), 'the daemon to be reached', 30_000)
      await someLoad()
      await until(() => publishers.some((one) => one.inFlight() > 0), 'a publish in flight')
      const { code, ms } = await mortal.end()
      expect(code).toBe(0)
      expect(ms).toBeLessThan(5000)
      longest = Math.max(longest, ms)
      await until(() => publishers.every((one) => !one.isConnected()), 'the devices to notice')
      const { lost, changed } = lostOf(readKept(daemon.folder), acknowledged(), waves.all())
      expect({ lost, changed }).toEqual({ lost: [], changed: [] })
    }
    await daemon.again()
    const kept = await scene.end()
    const title = `broker inside, SIGTERM ${endsOfDaemon} times, longest ${longest.toFixed(0)} ms`
    expect(count(title, scene, kept)).toEqual([])
    expect(kept.values.size).toBe(waves.all().length)
  })
})
