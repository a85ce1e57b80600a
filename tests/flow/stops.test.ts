import { existsSync, mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs'
import { connect, createServer, type AddressInfo, type Socket } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Aedes } from 'aedes'
import BetterSqlite from 'better-sqlite3'
import mqtt from 'mqtt'
import { afterEach, describe, expect, test } from 'vitest'
import { databaseName, openDatabase } from '../../daemon/sqlite/open.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import { addContact } from '../support/contacts.ts'
import { type Daemon, senml, startDaemon, tortoiseHouse } from '../support/daemon.ts'
import { startHttpReceiver } from '../support/http-receiver.ts'
import { notifyMissing, takeNotes } from '../support/notify-socket.ts'
import { startFallingSilent, startSilentServer } from '../support/silent-server.ts'
import { until } from '../support/until.ts'

/** Half of what a unit of systemd should allow (`TimeoutStopSec=10`); common practice, no source. */
const longestStopMs = 5000

const ends: (() => unknown)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})

async function aDaemon(env: NodeJS.ProcessEnv = {}): Promise<Daemon> {
  const daemon = await startDaemon({ env })
  ends.push(() => daemon.stop())
  return daemon
}

async function ended<Thing extends { stop(): Promise<void> }>(thing: Promise<Thing>): Promise<Thing> {
  const started = await thing
  ends.push(() => started.stop())
  return started
}

/** SIGTERM, as a supervisor sends it. The journal's last word says whether it ended in good order. */
async function endsWell(daemon: Daemon, with_: string): Promise<void> {
  const begun = performance.now()
  const code = await daemon.kill('SIGTERM')
  const took = performance.now() - begun
  console.log(`stopped with ${with_} within ${took.toFixed(0)} ms`)
  expect({ code, last: lastNoted(daemon) }).toEqual({ code: 0, last: 'stopped' })
  expect(took).toBeLessThan(longestStopMs)
}

function lastNoted(daemon: Daemon): string | undefined {
  const store = sqliteStore(openDatabase(join(daemon.folder, 'data')))
  try {
    return store.journal({ limit: 1 })[0]?.kind
  } finally {
    store.close()
  }
}

/** Opens a connection to the page and says `text`; keeps what comes back. */
async function say(daemon: Daemon, text: string) {
  const socket: Socket = connect(Number(new URL(daemon.url).port), '127.0.0.1')
  let answer = ''
  let isOpen = true
  socket.on('data', (chunk: Buffer) => (answer += chunk.toString()))
  socket.on('close', () => (isOpen = false))
  socket.on('error', () => socket.destroy())
  socket.write(text)
  ends.push(() => socket.destroy())
  return { socket, answer: () => answer, isOpen: () => isOpen }
}

const live = (daemon: Daemon): string =>
  `GET /api/live HTTP/1.1\r\nHost: localhost\r\nCookie: ${daemon.cookie()}\r\n\r\n`

const webhookTo = (url: string) => ({
  channel: { id: 'hook', kind: 'webhook', label: 'Hook', url, template: '{"say":"{{title}}"}' },
})

/** Asks for a test ring, and does not wait for what comes of it. */
const ring = (daemon: Daemon, channel: string) =>
  void daemon
    .ask('POST', `/api/contacts/ada/channels/${channel}/ring`, {})
    .then((answer) => answer.text())
    .catch(() => null)

const freeze = (daemon: Daemon) => daemon.publish('brumal/in/probe', senml(-1, Date.now() - 300_000))

describe('N1: the daemon ends in good order on SIGTERM, soon enough for its supervisor, whatever hangs', () => {
  test('a browser watches live, and another has stopped reading', async () => {
    const daemon = await aDaemon()
    const watching = await say(daemon, live(daemon))
    const asleep = await say(daemon, live(daemon))
    await until(
      () => [watching, asleep].every(({ answer }) => answer().includes('retry: 3000')),
      'both streams to begin',
    )
    asleep.socket.pause()
    expect([watching.isOpen(), asleep.isOpen()]).toEqual([true, true])
    await endsWell(daemon, 'two live streams')
    await until(() => !watching.isOpen(), 'the stream to end')
  })

  test('a request is half sent, and a connection waits for its next one', async () => {
    const daemon = await aDaemon()
    const head = `Host: localhost\r\nCookie: ${daemon.cookie()}\r\n`
    const half = await say(
      daemon,
      `PUT /api/places/box HTTP/1.1\r\n${head}Content-Type: application/json\r\nContent-Length: 100\r\n\r\n{"id"`,
    )
    const idle = await say(daemon, `GET /health HTTP/1.1\r\n${head}\r\n`)
    await until(() => idle.answer().startsWith('HTTP/1.1 200'), 'the answer before')
    expect([half.isOpen(), half.answer(), idle.isOpen()]).toEqual([true, '', true])
    await endsWell(daemon, 'a request half sent')
  })

  test('a webhook takes a message and never answers; the message is not lost', async () => {
    const hook = await ended(startHttpReceiver())
    hook.behave('holds')
    const daemon = await aDaemon()
    await tortoiseHouse(daemon)
    await addContact(daemon, 'ada', [webhookTo(`${hook.origin}/sms`)])
    await freeze(daemon)
    await until(() => hook.requests.length === 1, 'the message to be under way')
    expect(hook.open()).toBe(1)
    await endsWell(daemon, 'a webhook that never answers')

    await daemon.again()
    await until(() => hook.requests.length === 2, 'the message again, after the start', 15_000)
    const keys = hook.requests.map(({ headers }) => headers['idempotency-key'])
    expect(new Set(keys).size).toBe(1)
  })

  test('a mail server takes the connection and says nothing', async () => {
    const mail = await ended(startSilentServer())
    const daemon = await aDaemon({
      BRUMAL_MAIL_HOST: '127.0.0.1',
      BRUMAL_MAIL_PORT: String(mail.port),
      BRUMAL_MAIL_SECURITY: 'none',
      BRUMAL_MAIL_FROM: 'brumal@frog-house.example',
    })
    await addContact(daemon, 'ada', [
      { channel: { id: 'mail', kind: 'mail', label: 'Mail', address: 'ada@frog-house.example' } },
    ])
    ring(daemon, 'mail')
    await until(() => mail.open() === 1, 'the connection')
    await endsWell(daemon, 'a mail server that says nothing')
  })

  test('the watcher outside takes a beat and never answers', async () => {
    const watcher = await ended(startHttpReceiver({ usually: () => 'holds' }))
    const daemon = await aDaemon({ BRUMAL_HEARTBEAT_URL: `${watcher.origin}/beat` })
    await until(() => watcher.requests.length === 1, 'the beat')
    expect(watcher.open()).toBe(1)
    await endsWell(daemon, 'a watcher that never answers')
  })

  test('a broker of the house’s own takes the connection and says nothing', async () => {
    const broker = await ended(startSilentServer())
    const daemon = await aDaemon({ BRUMAL_BROKER_URL: `mqtt://127.0.0.1:${broker.port}` })
    // CONNECT: MQTT 3.1.1 §3.1
    await until(() => broker.bytes()[0] === 0x10, 'its CONNECT')
    expect(broker.open()).toBe(1)
    await endsWell(daemon, 'a broker that says nothing')
  })

  test('a broker of the house’s own falls silent after it was up', async () => {
    const aedes = await Aedes.createBroker()
    const behind = createServer(aedes.handle)
    await new Promise<void>((resolve) => behind.listen(0, '127.0.0.1', resolve))
    ends.push(() => new Promise((resolve) => aedes.close(() => behind.close(resolve))))
    const broker = await ended(startFallingSilent((behind.address() as AddressInfo).port))
    const daemon = await aDaemon({ BRUMAL_BROKER_URL: `mqtt://127.0.0.1:${broker.port}` })
    await until(async () => (await daemon.tonight()).broker.name === 'up', 'the broker')
    broker.fallSilent()
    expect(broker.open()).toBe(1)
    await endsWell(daemon, 'a broker that fell silent')
  })

  test('a sensor is connected to the broker inside and takes nothing any more', async () => {
    const daemon = await aDaemon()
    const { port, user, password } = await daemon.connection()
    const sensor = await mqtt.connectAsync(`mqtt://127.0.0.1:${port}`, {
      username: user ?? '',
      password: password ?? '',
      reconnectPeriod: 0,
    })
    ends.push(() => sensor.end(true))
    sensor.stream.pause()
    expect(sensor.connected).toBe(true)
    await endsWell(daemon, 'a sensor that takes nothing')
  })

  test('a backup is being made', async () => {
    const daemon = await aDaemon()
    await daemon.kill('SIGTERM')
    const data = join(daemon.folder, 'data')
    fatten(join(data, databaseName))
    await daemon.again()
    void daemon.ask('POST', '/api/backups', {}).catch(() => null)
    const folder = join(data, 'backups')
    const half = () => (existsSync(folder) ? readdirSync(folder) : []).find((name) => name.includes('.half'))
    await until(
      () => half() !== undefined && statSync(join(folder, String(half()))).size > 0,
      'half of a copy',
    )
    await endsWell(daemon, 'a backup half made')
    // What has the name of a backup is one: a half never gets it.
    for (const name of readdirSync(folder).filter((name) => name.endsWith('.db'))) {
      const copy = new BetterSqlite(join(folder, name), { readonly: true })
      expect(copy.pragma('quick_check', { simple: true })).toBe('ok')
      copy.close()
    }
  }, 60_000)

  test.skipIf(notifyMissing !== null)(`its supervisor takes nothing ${notifyMissing ?? ''}`, async () => {
    const own = mkdtempSync(join(tmpdir(), 'brumal-stops-'))
    ends.push(() => rmSync(own, { recursive: true, force: true }))
    const systemd = await ended(takeNotes(join(own, 'notify'), 'holds'))
    const daemon = await aDaemon({ NOTIFY_SOCKET: join(own, 'notify') })
    await until(() => systemd.messages.length === 1 && systemd.barriers() === 1, 'READY, never answered')
    await endsWell(daemon, 'a supervisor that takes nothing')
    await until(() => systemd.messages.length === 2, 'STOPPING')
    expect(systemd.messages.map((text) => text.split('\n')[0])).toEqual(['READY=1', 'STOPPING=1'])
  })

  test('all of it at once', async () => {
    const hook = await ended(startHttpReceiver({ usually: () => 'holds' }))
    const mail = await ended(startSilentServer())
    const broker = await ended(startSilentServer())
    const daemon = await aDaemon({
      BRUMAL_HEARTBEAT_URL: `${hook.origin}/beat`,
      BRUMAL_BROKER_URL: `mqtt://127.0.0.1:${broker.port}`,
      BRUMAL_MAIL_HOST: '127.0.0.1',
      BRUMAL_MAIL_PORT: String(mail.port),
      BRUMAL_MAIL_SECURITY: 'none',
      BRUMAL_MAIL_FROM: 'brumal@frog-house.example',
    })
    await addContact(daemon, 'ada', [
      webhookTo(`${hook.origin}/sms`),
      { channel: { id: 'mail', kind: 'mail', label: 'Mail', address: 'ada@frog-house.example' } },
    ])
    const watching = await say(daemon, live(daemon))
    for (const channel of ['hook', 'mail']) ring(daemon, channel)
    await until(
      () => hook.open() === 2 && mail.open() === 1 && watching.answer().includes('retry: 3000'),
      'everything to hang',
    )
    expect(broker.open()).toBe(1)
    await endsWell(daemon, 'everything at once')
  })
})

/** A database of years: a copy of it takes a while. */
function fatten(file: string): void {
  const db = new BetterSqlite(file)
  try {
    db.exec('CREATE TABLE ballast (bytes BLOB)')
    const add = db.prepare('INSERT INTO ballast VALUES (randomblob(1000000))')
    db.transaction(() => {
      for (let megabyte = 0; megabyte < 200; megabyte += 1) add.run()
    })()
  } finally {
    db.close()
  }
}
