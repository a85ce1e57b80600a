import { type ChildProcess, spawn } from 'node:child_process'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import mqtt, { type MqttClient } from 'mqtt'
import type { AlarmsNow, Connection, Tonight } from '../../schemas/api.ts'
import { built } from './brumal.ts'
import { until } from './until.ts'

export const keeper = { name: 'Ada', password: 'winter sleep well' }

export interface Daemon {
  readonly folder: string
  readonly url: string
  /** Everything it has printed so far. */
  printed(): string
  /** A call as the signed-in keeper; throws on anything but a 2xx answer. */
  call<Answer>(method: string, path: string, body?: object): Promise<Answer>
  /** The same without throwing and, when asked, without the keeper's cookie. */
  ask(method: string, path: string, body?: object, cookie?: string | null): Promise<Response>
  tonight(): Promise<Tonight>
  alarms(): Promise<AlarmsNow>
  connection(): Promise<Connection>
  /** Publishes as a sensor with the login that Set-up shows, QoS 1. */
  publish(topic: string, payload: string | Buffer, options?: { retain?: boolean }): Promise<void>
  cookie(): string
  kill(signal: NodeJS.Signals): Promise<number | null>
  /** Starts again on the same folder; the cookie still holds. */
  again(): Promise<void>
  stop(): Promise<void>
}

/** Runs the built program on ports of its own, as its user would, and signs the keeper in. */
export async function startDaemon(
  given: {
    readonly env?: NodeJS.ProcessEnv
    readonly args?: readonly string[]
    readonly folder?: string
    /** Another than the program in dist/. */
    readonly program?: string
    /** Until its page is open, in ms; 45 s unless told otherwise. */
    readonly opensWithin?: number
    /** Nobody is set up: the first visit is left to the test. */
    readonly isNew?: boolean
  } = {},
): Promise<Daemon> {
  const folder = given.folder ?? (await mkdtemp(join(tmpdir(), 'brumal-daemon-')))
  let output = ''
  let child: ChildProcess
  let url = ''
  let cookie = ''
  let sensors: MqttClient | null = null

  async function start(): Promise<void> {
    const from = output.length
    child = spawn(process.execPath, [given.program ?? built, ...(given.args ?? [])], {
      cwd: folder,
      env: {
        ...process.env,
        BRUMAL_DATA: join(folder, 'data'),
        BRUMAL_HTTP_PORT: '0',
        BRUMAL_HTTP_HOST: '127.0.0.1',
        BRUMAL_MQTT_PORT: '0',
        BRUMAL_MQTT_HOST: '127.0.0.1',
        BRUMAL_TIMEZONE: 'Europe/Vienna',
        ...given.env,
      },
      stdio: ['ignore', 'pipe', 'pipe'],
    })
    child.stdout?.on('data', (chunk: Buffer) => (output += chunk.toString()))
    child.stderr?.on('data', (chunk: Buffer) => (output += chunk.toString()))
    const said = () => /http:\/\/localhost:(\d+)/.exec(output.slice(from))?.[1]
    const isDecided = () => said() !== undefined || child.exitCode !== null
    await until(isDecided, 'the daemon to open its page', given.opensWithin ?? 45_000).catch(
      (late: unknown) => {
        child.kill('SIGKILL')
        throw late
      },
    )
    if (child.exitCode !== null) throw new Error(`the daemon ended with ${child.exitCode}:\n${output}`)
    url = `http://127.0.0.1:${said()}`
  }

  async function signIn(): Promise<void> {
    const code = /set-up code\s+([0-9A-Z-]{14})/.exec(output)?.[1]
    const answer =
      code === undefined
        ? await daemon.ask('POST', '/api/sign-in', keeper, null)
        : await daemon.ask('POST', '/api/set-up', { code, ...keeper }, null)
    if (!answer.ok) throw new Error(`could not sign in: ${await answer.text()}`)
    cookie = (answer.headers.get('set-cookie') ?? '').split(';')[0] ?? ''
  }

  async function closeSensors(): Promise<void> {
    await sensors?.endAsync(true)
    sensors = null
  }

  const daemon: Daemon = {
    folder,
    get url() {
      return url
    },
    printed: () => output,
    cookie: () => cookie,
    ask: (method, path, body, as = cookie) =>
      fetch(url + path, {
        method,
        headers: {
          ...(as === null ? {} : { cookie: as }),
          ...(body === undefined ? {} : { 'content-type': 'application/json' }),
        },
        ...(body === undefined ? {} : { body: JSON.stringify(body) }),
      }),
    async call<Answer>(method: string, path: string, body?: object) {
      const answer = await daemon.ask(method, path, body)
      const text = await answer.text()
      if (!answer.ok) throw new Error(`${method} ${path}: ${answer.status} ${text}`)
      return (text === '' ? null : JSON.parse(text)) as Answer
    },
    tonight: () => daemon.call<Tonight>('GET', '/api/tonight'),
    alarms: () => daemon.call<AlarmsNow>('GET', '/api/alarms'),
    connection: () => daemon.call<Connection>('GET', '/api/connection'),
    async publish(topic, payload, options = {}) {
      if (sensors === null) {
        const { port, user, password } = await daemon.connection()
        sensors = await mqtt.connectAsync(`mqtt://127.0.0.1:${port}`, {
          ...(user === null ? {} : { username: user }),
          ...(password === null ? {} : { password }),
        })
      }
      await sensors.publishAsync(topic, payload, { qos: 1, ...options })
    },
    async kill(signal) {
      await closeSensors()
      if (child.exitCode !== null || child.signalCode !== null) return child.exitCode
      const ended = new Promise<number | null>((resolve) => child.once('exit', (code) => resolve(code)))
      child.kill(signal)
      return ended
    },
    again: start,
    async stop() {
      await daemon.kill('SIGTERM')
      await rm(folder, { recursive: true, force: true })
    },
  }
  await start()
  if (given.isNew !== true) await signIn()
  return daemon
}

/** A fridge with nobody in it, and no sensor. */
export const emptyFridge = (daemon: Daemon): Promise<unknown> =>
  daemon.call('PUT', '/api/places/fridge', { id: 'fridge', name: 'Fridge', kind: 'fridge', parent: null })

/** A tortoise in hold in a box in a fridge, its probe listening to `brumal/in/probe`. */
export async function tortoiseHouse(daemon: Daemon, sensor: object = {}): Promise<void> {
  await daemon.call('PUT', '/api/places/fridge', { id: 'fridge', name: 'Cellar fridge', kind: 'fridge' })
  await daemon.call('PUT', '/api/places/box', {
    id: 'box',
    name: 'Low shelf box',
    kind: 'box',
    parent: 'fridge',
  })
  await daemon.call('PUT', '/api/sensors/probe', {
    id: 'probe',
    name: 'Box probe',
    place: 'box',
    type: 'ds18b20',
    topic: 'brumal/in/probe',
    expectedEvery: 60_000,
    ...sensor,
  })
  await daemon.call('PUT', '/api/animals/juno?anyway=an+invented+animal', {
    id: 'juno',
    name: 'Juno',
    species: 'testudo-hermanni',
    place: 'box',
    mode: 'goesDown',
    plan: [{ phase: 'hold', from: Date.now() - 30 * 86_400_000 }],
  })
}

export const senml = (celsius: number, at?: number): string =>
  JSON.stringify([{ n: 'temperature', u: 'Cel', v: celsius, ...(at === undefined ? {} : { t: at / 1000 }) }])
