import { type AddressInfo, connect, type Socket } from 'node:net'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { liveBounds } from '../../daemon/http/live.ts'
import { LiveEvent, Problem, type ValueNow } from '../../schemas/api.ts'
import type { SensorId } from '../../schemas/ids.ts'
import { instant, millis } from '../../schemas/amounts.ts'
import { type HttpHouse, httpHouse } from '../support/http-house.ts'

let house: HttpHouse
let keeper: string
let port: number
let open: Socket[]
beforeEach(async () => {
  open = []
  house = await httpHouse({ pingEvery: millis(30) })
  keeper = await house.signedIn('keeper')
  await house.app.listen({ port: 0, host: '127.0.0.1' })
  port = (house.app.server.address() as AddressInfo).port
})
afterEach(async () => {
  for (const socket of open) socket.destroy()
  await house.close()
})

interface Stream {
  readonly socket: Socket
  /** The head and the chunks as they came, the first 100 kB. */
  readonly text: () => string
  readonly bytes: () => number
  /** The end of what came. */
  readonly tail: () => string
  readonly events: () => LiveEvent[]
  readonly closed: () => boolean
}

/** A raw socket, so that reading can stop as a sleeping phone's does. */
function watchLive(headers: Record<string, string> = {}): Stream {
  const socket = connect(port, '127.0.0.1')
  open.push(socket)
  let text = ''
  let bytes = 0
  let tail = ''
  let closed = false
  const lines = Object.entries({ host: 'x', cookie: keeper, ...headers }).map(([k, v]) => `${k}: ${v}`)
  socket.write(`GET /api/live HTTP/1.1\r\n${lines.join('\r\n')}\r\n\r\n`)
  socket.on('data', (chunk: Buffer) => {
    bytes += chunk.length
    tail = (tail + chunk.toString('utf8')).slice(-1000)
    if (text.length < 100_000) text += chunk.toString('utf8')
  })
  socket.on('error', () => undefined) // a reset is one way of being closed
  socket.on('close', () => {
    closed = true
  })
  return {
    socket,
    text: () => text,
    bytes: () => bytes,
    tail: () => tail,
    closed: () => closed,
    events: () =>
      [...text.matchAll(/^data: (.*)$/gm)].map(([, data]) => LiveEvent.parse(JSON.parse(data ?? ''))),
  }
}

async function until(isSo: () => boolean | Promise<boolean>, what: string): Promise<void> {
  const deadline = performance.now() + 10_000
  while (!(await isSo())) {
    if (performance.now() > deadline) throw new Error(`still waiting for: ${what}`)
    await new Promise((resolve) => setTimeout(resolve, 5))
  }
}

const connections = () =>
  new Promise<number>((resolve, reject) =>
    house.app.server.getConnections((error, count) => (error ? reject(error) : resolve(count))),
  )

const valueOf = (value: number): ValueNow => ({
  sensor: 'probe-1' as SensorId,
  sensorName: 'Probe one',
  quantity: 'temperature',
  value,
  at: instant(1_790_000_000_000 + value),
  quality: 'good',
  fresh: true,
  lastKnown: false,
})

test('every kind of event arrives once, in order, with an id of its own', async () => {
  const stream = watchLive()
  await until(() => stream.text().includes('retry: 3000'), 'the stream')
  house.desk.hear(valueOf(5))
  house.desk.raise('limit:fridge:temperature:lowCritical' as never)
  await house.as(keeper, 'POST', '/api/places/fridge/tend', { minutes: 5 })
  await until(() => stream.events().length >= 5, 'five events')
  expect(stream.events().map(({ kind }) => kind)).toEqual(['value', 'journal', 'alarm', 'journal', 'tonight'])
  const named = [...stream.text().matchAll(/^event: (\w+)$/gm)].map(([, kind]) => kind)
  expect(named).toEqual(['value', 'journal', 'alarm', 'journal', 'tonight'])
  const ids = [...stream.text().matchAll(/^id: (\S+)$/gm)].map(([, id]) => id)
  expect(new Set(ids).size).toBe(5)
})

test('the head of the stream carries the security headers and forbids keeping', async () => {
  const stream = watchLive()
  await until(() => stream.text().includes('retry: 3000'), 'the stream')
  const head = stream.text().split('\r\n\r\n')[0] ?? ''
  expect(head).toMatch(/^HTTP\/1\.1 200 OK/)
  expect(head).toMatch(/content-type: text\/event-stream; charset=utf-8/i)
  expect(head).toMatch(/cache-control: no-store/i)
  expect(head).toMatch(/content-security-policy: default-src 'self'/i)
  expect(head).toMatch(/x-content-type-options: nosniff/i)
})

test('X1: a stranger gets no stream, a sitter does', async () => {
  const stranger = watchLive({ cookie: 'brumal_session=x', connection: 'close' })
  await until(stranger.closed, 'the refusal')
  expect(stranger.text()).toMatch(/^HTTP\/1\.1 401 /)
  const sitter = watchLive({ cookie: await house.signedIn('sitter') })
  await until(() => sitter.text().includes('retry: 3000'), 'the stream')
})

test('a quiet stream is pinged', async () => {
  const stream = watchLive()
  await until(() => (stream.text().match(/^: ping$/gm) ?? []).length >= 3, 'three pings')
  expect(stream.events()).toEqual([])
})

test('a browser that comes back is told to fetch anew, one that missed nothing is not', async () => {
  const first = watchLive()
  await until(() => first.text().includes('retry: 3000'), 'the stream')
  house.desk.hear(valueOf(5))
  await until(() => first.events().length === 1, 'the value')
  const id = /^id: (\S+)$/m.exec(first.text())?.[1] ?? ''

  const missedNothing = watchLive({ 'last-event-id': id })
  await until(() => missedNothing.text().includes(': ping'), 'a ping')
  expect(missedNothing.events()).toEqual([])

  house.desk.hear(valueOf(6))
  for (const lastSeen of [id, 'another-run-1']) {
    const missed = watchLive({ 'last-event-id': lastSeen })
    await until(() => missed.events().length === 1, 'the event')
    expect(missed.events()).toEqual([{ kind: 'tonight' }])
  }
})

test('X1: signing out ends the stream of that session and of no other', async () => {
  const other = await house.signedIn('keeper')
  const [mine, theirs] = [watchLive(), watchLive({ cookie: other })]
  await until(() => mine.text().includes('retry') && theirs.text().includes('retry'), 'both streams')
  await house.as(keeper, 'POST', '/api/sign-out', {})
  await until(() => mine.text().endsWith('0\r\n\r\n'), 'the end of my stream')
  house.desk.hear(valueOf(5))
  await until(() => theirs.events().length === 1, 'a value on theirs')
  expect(mine.events()).toEqual([])
})

test('X3: a client that stops reading is dropped at 1 MB, one that reads misses nothing', async () => {
  const [asleep, awake] = [watchLive(), watchLive()]
  await until(() => asleep.text().includes('retry') && awake.text().includes('retry'), 'both streams')
  asleep.socket.pause()
  let sent = 0
  while ((await connections()) > 1) {
    // The kernel's own buffers take several MB before ours fill
    expect(sent).toBeLessThan(200_000)
    for (let i = 0; i < 200; i++) house.desk.hear(valueOf(++sent))
    await new Promise((resolve) => setImmediate(resolve))
  }
  house.desk.hear(valueOf(++sent))
  await until(() => awake.tail().includes(`"value":${sent},`), 'the last value')
  asleep.socket.resume()
  await until(asleep.closed, 'the sleeper sees the end')
  expect(asleep.bytes()).toBeGreaterThan(liveBounds.unreadBytes / 4)
  expect(asleep.bytes()).toBeLessThan(awake.bytes())
})

test('X3: the 501st browser is told to come back later, and may when one has gone', async () => {
  const crowd = Array.from({ length: liveBounds.clients }, () => watchLive())
  await until(() => crowd.every((stream) => stream.text().includes('retry: 3000')), '500 streams')
  const late = watchLive({ connection: 'close' })
  await until(late.closed, 'the refusal')
  expect(late.text()).toMatch(/^HTTP\/1\.1 503 /)
  expect(late.text()).toMatch(/retry-after: 30/i)
  expect(Problem.parse(JSON.parse(late.text().split('\r\n\r\n')[1] ?? '')).code).toBe('tooManyLive')
  house.desk.hear(valueOf(5))
  await until(() => crowd.every((stream) => stream.events().length === 1), '500 values')
  crowd[0]?.socket.destroy()
  await until(async () => {
    const next = watchLive({ connection: 'close' })
    await until(() => next.text().includes('\r\n\r\n'), 'an answer')
    return next.text().startsWith('HTTP/1.1 200')
  }, 'a free place')
})

test('closing ends the streams at once and leaves no listener at the desk', async () => {
  const streams = [watchLive(), watchLive()]
  await until(() => streams.every((stream) => stream.text().includes('retry')), 'both streams')
  expect(house.desk.listeners.size).toBe(1)
  const before = performance.now()
  await house.app.close()
  expect(performance.now() - before).toBeLessThan(2000)
  await until(() => streams.every((stream) => stream.closed()), 'the ends')
  expect(streams.every((stream) => stream.text().endsWith('0\r\n\r\n'))).toBe(true)
  expect(house.desk.listeners.size).toBe(0)
})
