import { randomBytes } from 'node:crypto'
import type { InjectOptions, LightMyRequestResponse } from 'fastify'
import { openDesk } from '../../daemon/app/desk.ts'
import { openHouse } from '../../daemon/app/house.ts'
import { openKeeping } from '../../daemon/app/keeping.ts'
import { newHousehold } from '../../daemon/app/new-household.ts'
import { openOutlooks } from '../../daemon/app/outlooks.ts'
import { rememberSources } from '../../daemon/app/sources.ts'
import { hmacSeal } from '../../daemon/host/seal.ts'
import { hashPassword } from '../../daemon/http/doors/password.ts'
import { buildServer } from '../../daemon/http/server.ts'
import { storesOf } from '../../daemon/main/stores.ts'
import { openTelling } from '../../daemon/main/telling.ts'
import { relaySender } from '../../daemon/notify/relay.ts'
import type { Clock } from '../../daemon/ports/clock.ts'
import type { Desk } from '../../daemon/ports/desk.ts'
import type { Sender } from '../../daemon/ports/outbox.ts'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import { sqlitePeople } from '../../daemon/sqlite/people.ts'
import { days, hours, seconds } from '../../schemas/amounts.ts'
import type { PersonId, SensorId } from '../../schemas/ids.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Instant } from '../../schemas/units.ts'
import { catalogue, profileOf } from '../../shared/species/catalogue.ts'
import { morningList } from '../../shared/telling/morning-list.ts'
import { importsOver } from './imports-for-http.ts'
import { devicesForHttp } from './devices-for-http.ts'
import { cookieOf } from './http-house.ts'
import { startHttpReceiver } from './http-receiver.ts'
import { simulatedTime } from './simulated-time.ts'
import { temporaryFolder } from './store-world.ts'
import { until } from './until.ts'

export type Who = 'keeper' | 'sitter'
export type Answer = { readonly status: number; readonly body: unknown }
export type Method = NonNullable<InjectOptions['method']>

/** One quantity of one sensor of the story, and what it shows at an instant. */
export interface Channel {
  readonly sensor: SensorId
  readonly quantity: Quantity
  readonly at: (instant: Instant) => number
}

const passwords: Readonly<Record<Who, string>> = {
  keeper: 'moss before the first frost',
  sitter: 'a look on every third day',
}
const names: Readonly<Record<Who, string>> = { keeper: 'Ada', sitter: 'Bo' }
const noLog = { debug() {}, info() {}, warn() {}, error() {} }
/** Every thermometer sends once in this time. */
const readEvery = hours(1)
/** Each hour, as the daemon does it, makes the same blocks in ten times the work. */
const foldEvery = hours(12)

/**
 * A whole daemon but for its broker: real database, real server, a phone that is a real receiver. Only its clock is
 * simulated; the story feeds it a reading an hour for each channel.
 */
export async function openWholeWinterHouse(start: Instant, zone: string) {
  const folder = temporaryFolder()
  const time = simulatedTime(start)
  const { clock, timer } = time
  const phone = await startHttpReceiver()
  const db = openDatabase(folder.path, { log: noLog })
  // A power cut is another test's; here the disk need not be waited for
  db.pragma('synchronous = OFF')
  const kept = storesOf(db)
  const people = sqlitePeople(db)
  for (const who of ['keeper', 'sitter'] as const)
    people.savePerson({
      id: names[who].toLowerCase() as PersonId,
      name: names[who],
      role: who,
      passwordHash: await hashPassword(passwords[who], randomBytes),
    })
  const address = () => 'https://brumal.example'
  const seal = hmacSeal(Buffer.from('the-key-of-one-invented-house-in-a-story'))
  const house = openHouse({
    store: kept.store,
    clock,
    timer,
    log: noLog,
    profileOf,
    commitEvery: seconds(5),
    messages: {
      seal,
      address,
      isPractice: false,
      tasksToday: () => morningList(desk.day(0).due),
    },
    newHousehold: () => newHousehold(zone),
  })
  let underWay = 0
  const counted = (sender: Sender<'relay'>): Sender<'relay'> => ({
    async send(...given) {
      underWay += 1
      try {
        return await sender.send(...given)
      } finally {
        underWay -= 1
      }
    },
  })
  const { outbox, telling } = openTelling({
    house,
    store: kept.outbox,
    people,
    senders: { push: null, relay: counted(relaySender({ clock })), mail: null, webhook: null },
    pushKey: '',
    address,
    clock,
    timer,
    log: noLog,
  })
  const pause = () => Promise.resolve()
  const keeping = openKeeping({
    store: kept.store,
    backups: {
      folder: '',
      make: () => Promise.reject(new Error('None are made.')),
      list: () => Promise.resolve([]),
    },
    disk: () => ({ freeBytes: 8e9, totalBytes: 16e9 }),
    clock,
    timer,
    log: noLog,
    zone: () => zone,
    settings: {
      backup: { isOn: false, at: '04:00', keep: 1 },
      store: { keepReadings: days(1000), budget: 8e9, freeAtLeast: 1e9 },
    },
    onStage: (stage, isWell, text) => house.report(stage, isWell, text),
    note: (entry) => house.note(entry),
    isOnDisk: () => house.failure() === null,
    waiting: () => house.waiting(),
    clockNow: () => ({ isTrusted: true, sentence: null }),
  })
  const desk: Desk = openDesk({
    house,
    store: kept.store,
    diary: kept.diary,
    clock,
    sources: rememberSources(),
    catalogue,
    profileOf,
    connection: () => ({
      broker: { kind: 'embedded', name: 'up', since: start, sentence: 'Ready for sensors.', retryAt: null },
      host: 'house.example',
      port: 1883,
      user: null,
      password: null,
      topic: '',
      tryLine: '',
    }),
    practice: {
      practice: () => ({ running: false, offered: false }),
      switchPractice: () => ({ ok: false, error: 'notOffered', sentence: 'Not here.' }),
    },
    keeping,
    metrics: () => '# EOF\n', // nobody scrapes it here
    telling,
    imports: importsOver(house, kept.store, clock),
    outlooks: openOutlooks({ house, store: kept.store, clock, timer, pause, memory: new Map() }),
    seal,
    roleOf: (id) => people.people().find((person) => person.id === id)?.role ?? null,
    onSensors() {},
    pause,
  })
  const app = await buildServer({
    desk,
    people,
    devices: devicesForHttp(clock.now),
    address,
    clock,
    log: noLog,
    random: randomBytes,
    webRoot: null,
  })
  house.note({ at: start, kind: 'started', by: 'brumal' })
  house.take({ kind: 'listening', at: start }, 'soon')
  outbox.start()

  const cookies: Partial<Record<Who, string>> = {}
  const send = (
    cookie: string,
    method: Method,
    url: string,
    body: unknown,
  ): Promise<LightMyRequestResponse> =>
    app.inject({
      method,
      url,
      headers: { cookie, ...(body !== undefined && { 'content-type': 'application/json' }) },
      ...(body !== undefined && { payload: JSON.stringify(body) }),
    })
  async function signIn(who: Who): Promise<string> {
    const answer = await send('', 'POST', '/api/sign-in', { name: names[who], password: passwords[who] })
    if (answer.statusCode >= 300) throw new Error(`${names[who]} cannot sign in: ${answer.body}`)
    return cookieOf(answer.headers['set-cookie'])
  }

  /** As a browser asks: signed in afresh when its session has run out. */
  async function ask(who: Who, method: Method, url: string, body?: unknown): Promise<Answer> {
    cookies[who] ??= await signIn(who)
    let answer = await send(cookies[who], method, url, body)
    if (answer.statusCode === 401) {
      cookies[who] = await signIn(who)
      answer = await send(cookies[who], method, url, body)
    }
    const isJson = String(answer.headers['content-type']).includes('json')
    return { status: answer.statusCode, body: isJson ? answer.json() : answer.body }
  }

  /** Whatever is on its way to the phone arrives: the simulated clock waits for the real network. */
  async function quiet(): Promise<void> {
    await time.settle()
    while (underWay > 0) {
      await until(() => underWay === 0, 'the phone answers')
      await time.settle()
    }
  }

  async function pass(ms: number): Promise<void> {
    for (let left = ms; left > 0; ) {
      const step = Math.min(left, time.next() ?? left)
      await time.pass(step)
      await quiet()
      left -= step
    }
  }

  let heardAt: Instant = start
  let foldedAt: Instant = start
  return {
    clock: clock satisfies Clock,
    phone,
    ask,
    /** The answer of something that must go well. */
    async must<Value>(who: Who, method: Method, url: string, body?: unknown): Promise<Value> {
      const answer = await ask(who, method, url, body)
      if (answer.status >= 300)
        throw new Error(`${method} ${url}: ${answer.status} ${JSON.stringify(answer.body)}`)
      return answer.body as Value
    },
    /** Time goes on, with a reading an hour from each channel, each at its full hour, and one look at the clock. */
    async goOn(to: Instant, channels: () => readonly Channel[]): Promise<void> {
      while (clock.now() < to) {
        const next = Math.min(to, heardAt + readEvery) as Instant
        await pass(next - clock.now())
        if (next === heardAt + readEvery) {
          heardAt = next
          for (const { sensor, quantity, at } of channels())
            house.take(
              { kind: 'reading', reading: { sensor, quantity, at: next, value: at(next) }, heardAt: next },
              'group',
            )
          if (next - foldedAt >= foldEvery) {
            house.fold()
            foldedAt = next
          }
        }
        house.take({ kind: 'timePassed', at: next }, 'group')
        await quiet()
      }
    },
    /** What nobody signs in for: a calendar's feed. */
    async open(url: string): Promise<Answer> {
      const answer = await app.inject({ method: 'GET', url })
      return { status: answer.statusCode, body: answer.body }
    },
    async close(): Promise<void> {
      const messages = outbox.stop()
      await time.settle()
      await messages
      house.commit()
      house.close()
      await app.close()
      db.close()
      await phone.stop()
      folder.remove()
    },
  }
}

export type WinterHouse = Awaited<ReturnType<typeof openWholeWinterHouse>>
