import { readFile } from 'node:fs/promises'
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http'
import { extname, join, normalize } from 'node:path'
import type { Alarm } from '../../schemas/alarm.ts'
import { Animal } from '../../schemas/animal.ts'
import { Connection, House, type LiveEvent } from '../../schemas/api.ts'
import type { Household } from '../../schemas/household.ts'
import type { Person } from '../../schemas/person.ts'
import { Place } from '../../schemas/place.ts'
import { Quantity } from '../../schemas/quantity.ts'
import { Sensor } from '../../schemas/sensor.ts'
import { instant, later, minutes } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { catalogue } from '../../shared/species/catalogue.ts'
import { nightNamed, nightOf } from '../../shared/time/night.ts'
import { localDate } from '../../shared/time/wall.ts'
import { fixtureAnimals } from './web-fixture-animals.ts'
import { fixtureDay } from './web-fixture-day.ts'
import { fixtureAir } from './web-fixture-air.ts'
import { fixtureAnswers } from './web-fixture-answers.ts'
import { inventedContacts } from './web-fixture-contacts.ts'
import { inventedCurve, inventedTruth } from './web-fixture-curves.ts'
import { fixtureDoors } from './web-fixture-doors.ts'
import { emptyHousehold, inventedHousehold, inventedSources } from './web-fixture-house.ts'
import { fixtureKeeping } from './web-fixture-keeping.ts'
import { invalid, nothing, ok, problem, type Reply } from './web-fixture-reply.ts'
import {
  bandsOf,
  judgeOf,
  type Scene,
  sceneAlarms,
  sceneBroker,
  sceneJournal,
  sceneTonight,
} from './web-fixture-scene.ts'
import { fixtureOutlook } from './web-fixture-outlook.ts'
import { fixtureProfiles } from './web-fixture-profiles.ts'
import { fixtureTelling } from './web-fixture-telling.ts'
import { fixtureTrials } from './web-fixture-trial.ts'
import { inventedWinter } from './web-fixture-winter.ts'
import { fixtureWhatIf } from './web-fixture-what-if.ts'

/** The built dashboard with invented answers behind it: for looking at, never for proving anything about the daemon. */
export interface WebFixture {
  readonly url: string
  /** Sends one event to every open page. */
  send(event: LiveEvent): void
  /** From now on every request is taken and none answered, as by a network that swallows packets. */
  stall(): void
  close(): Promise<void>
}

/** Where the fixture's night stands: 03:07 on a winter's morning in Vienna, running from there. */
const begins = Date.parse('2027-01-13T03:07:00+01:00')

export async function startWebFixture(webRoot: string, scene: Scene, port: number): Promise<WebFixture> {
  const started = Date.now()
  const now = (): Instant => instant(begins + Date.now() - started)
  let household: Household = isEmpty(scene)
    ? emptyHousehold()
    : { ...inventedHousehold(now()), contacts: inventedContacts(scene) }
  let alarms: Alarm[] = sceneAlarms(scene, now())
  let isSignedIn = scene !== 'first' && scene !== 'out'
  let me = scene === 'sitter' || scene === 'sitterEmpty' ? bela : robin
  const answerByLink = fixtureAnswers(now)
  const doors = fixtureDoors({
    now,
    me: () => me,
    isOurs: scene !== 'unsure',
    onJoin: (person) => {
      me = person
      isSignedIn = true
    },
  })
  const telling = fixtureTelling({
    scene,
    now,
    me: () => me,
    household: () => household,
    save: (contacts, waits = household.telling) => {
      household = { ...household, contacts, telling: waits }
      send({ kind: 'tonight' })
    },
  })
  const keeping = fixtureKeeping({
    scene,
    now,
    me: () => me,
    onBackup: (line) => send({ kind: 'journal', line: { ...line, id: 1_000_000 } }),
  })
  const profiles = fixtureProfiles({
    isKeeper: () => me.role === 'keeper',
    household: () => household,
    save: (next) => void (household = next),
  })
  const tended = new Map<string, Instant>()
  const streams = new Set<ServerResponse>()
  let isStalled = false
  const truth = inventedTruth(
    scene === 'alarm' || scene === 'sitter' ? { sensor: 'top-probe', from: begins - 4_000_000 } : null,
  )
  const tonight = () => sceneTonight(scene, household, alarms, tended, truth, now())

  const trials = fixtureTrials({
    now,
    me: () => me,
    household: () => household,
    save: (place) => {
      household = { ...household, places: household.places.map((one) => (one.id === place.id ? place : one)) }
    },
    truth,
  })

  const whatIf = fixtureWhatIf({ now, me: () => me, household: () => household, truth })

  const send = (event: LiveEvent): void => {
    for (const stream of streams) stream.write(`event: ${event.kind}\ndata: ${JSON.stringify(event)}\n\n`)
  }
  const beat = setInterval(() => {
    if (scene === 'lost' || scene === 'unsure') return
    for (const place of tonight().places) {
      for (const value of place.values) {
        const at = now()
        send({
          kind: 'value',
          place: place.id,
          value: { ...value, at, value: truth(value.sensor, value.quantity, at) },
        })
      }
    }
  }, 5000)

  const act = (id: string, what: string, body: Record<string, unknown>): Alarm | null => {
    const alarm = alarms.find((one) => one.id === id)
    if (alarm === undefined) return null
    const since = 'since' in alarm.state && alarm.state.since !== null ? alarm.state.since : now()
    const reason = typeof body['reason'] === 'string' ? body['reason'] : ''
    const states: Record<string, Alarm['state']> = {
      acknowledge: { name: 'acknowledged', since, by: 'Robin', acknowledgedAt: now() },
      shelve: {
        name: 'shelved',
        until: later(now(), minutes(Number(body['minutes']))),
        by: 'Robin',
        reason,
        out: true,
        since,
      },
      unshelve: { name: 'unacknowledged', since },
      'out-of-service': { name: 'outOfService', by: 'Robin', reason, at: now(), out: true, since },
      'return-to-service': { name: 'unacknowledged', since },
    }
    const changed = { ...alarm, state: states[what] ?? alarm.state }
    alarms = alarms.map((one) => (one.id === id ? changed : one))
    send({ kind: 'alarm', alarm: changed, at: now() })
    return changed
  }

  const animals = fixtureAnimals({ scene, now, me: () => me, household: () => household, send })
  const day = fixtureDay({ now, household: () => household, lines: animals.lines })

  const api = (
    method: string,
    parts: readonly string[],
    query: URLSearchParams,
    body: Record<string, unknown>,
  ): Reply => {
    const [room = '', id = '', what = ''] = parts
    if (room === 'answer' && method === 'POST') return answerByLink(id, body)
    const atDoor = doors.publicly(method, room, body)
    if (atDoor !== null) return atDoor
    if (room === 'door') return ok({ setUpNeeded: scene === 'first' && !isSignedIn })
    if (room === 'sign-in' || room === 'set-up') {
      if (room === 'set-up' && body['code'] !== 'MOSS-7F3K-Q2')
        return problem(403, 'wrongCode', 'That is not the code on the console.')
      if (room === 'sign-in' && body['password'] === 'wrong')
        return problem(401, 'wrongNameOrPassword', 'Name or password is wrong.')
      isSignedIn = true
      return ok({ person: me, setUpNeeded: false })
    }
    if (!isSignedIn) return problem(401, 'signInFirst', 'Sign in first.')
    if (room === 'sign-out') {
      isSignedIn = false
      return nothing
    }
    const within =
      doors.within(method, parts, body) ??
      telling(method, parts, query, body) ??
      keeping(method, parts) ??
      profiles(method, parts, body) ??
      day(method, parts, query) ??
      animals.api(method, parts, query, body)
    if (within !== null) return within
    const place = household.places.find((one) => one.id === id)
    const quantity = Quantity.catch('temperature').parse(query.get('quantity'))
    switch (`${method} ${room}${what === '' ? '' : `/${what}`}`) {
      case 'GET me':
        return ok({ person: me, setUpNeeded: false })
      case 'GET imports':
        return ok([])
      case 'GET tonight':
        return ok(tonight())
      case 'GET household':
        return ok(me.role === 'keeper' ? household : withoutChannels(household))
      case 'GET practice':
        return ok({ running: scene === 'practice', offered: isEmpty(scene) })
      case 'POST practice':
        return ok({ running: body['on'] === true, offered: false })
      case 'GET species':
        return ok([...catalogue, ...household.profiles])
      case 'GET sources':
        if (me.role !== 'keeper') return keeperOnly
        return ok(isEmpty(scene) ? [] : inventedSources(now()))
      case 'GET connection':
        if (me.role !== 'keeper') return keeperOnly
        return ok(Connection.parse({ broker: sceneBroker(scene, now()), ...connection }))
      case 'GET alarms':
        return ok({ standing: alarms, journal: sceneJournal(scene, alarms, now()).slice(0, 40) })
      case 'GET journal': {
        const before = Number(query.get('before') ?? Infinity)
        const [from, places, kinds] = [
          Number(query.get('from') ?? 0),
          query.getAll('place'),
          query.getAll('kind'),
        ]
        const lines = sceneJournal(scene, alarms, now())
          .filter((line) => line.id < before && line.at >= from)
          .filter(({ place: of = '' }) => places.length === 0 || places.includes(of))
          .filter(({ kind }) => kinds.length === 0 || kinds.includes(kind))
        const wanted =
          query.get('alarmsOnly') === 'true' ? lines.filter((line) => line.alarm !== undefined) : lines
        return ok(wanted.slice(0, Number(query.get('limit') ?? 100)))
      }
      case 'PUT house': {
        const house = House.safeParse(body)
        if (!house.success) return invalid(house.error.issues)
        household = { ...household, ...house.data }
        return ok(house.data)
      }
      case 'GET places/night': {
        if (place === undefined) return problem(404, 'noSuchPlace', 'There is no such place.')
        const date = query.get('date')
        const night =
          date === null
            ? nightOf(now(), household.timeZone, household.night)
            : nightNamed(date, household.timeZone, household.night)
        const band = bandsOf(household, place, now())[quantity]
        return ok(
          inventedCurve(
            household,
            place.id,
            judgeOf(household, place)?.id ?? null,
            quantity,
            night,
            band,
            truth,
            now(),
          ),
        )
      }
      case 'GET places/air':
      case 'GET places/cost':
        if (place === undefined) return problem(404, 'noSuchPlace', 'There is no such place.')
        return fixtureAir(household, place, what, query)
      case 'GET places/outlook':
        if (place === undefined) return problem(404, 'noSuchPlace', 'There is no such place.')
        return fixtureOutlook(place, now())
      case 'GET places/winter': {
        if (place === undefined) return problem(404, 'noSuchPlace', 'There is no such place.')
        const band = bandsOf(household, place, now())[quantity]
        const today = localDate(now(), household.timeZone)
        return ok(
          inventedWinter(
            household,
            place.id,
            judgeOf(household, place)?.id ?? null,
            quantity,
            band,
            truth,
            now(),
            today,
            query.get('season'),
          ),
        )
      }
      case 'GET places/trial':
      case 'POST places/trial':
        if (place === undefined) return problem(404, 'noSuchPlace', 'There is no such place.')
        return trials(method, place, body)
      case 'GET places/what-if':
      case 'GET what-if':
      case 'POST what-if':
      case 'DELETE what-if':
        return whatIf(method, parts, query, body)
      case 'POST places/tend':
        tended.set(id, later(now(), minutes(Number(body['minutes']))))
        return ok(tonight().places.find((one) => one.id === id) ?? null)
    }
    if (method === 'POST' && room === 'alarms') {
      const changed = act(id, what, body)
      return changed === null ? problem(404, 'noSuchAlarm', 'There is no such alarm.') : ok(changed)
    }
    const lists = { places: Place, sensors: Sensor, animals: Animal } as const
    if (room === 'places' || room === 'sensors' || room === 'animals') {
      const others = (household[room] as { id: string }[]).filter((one) => one.id !== id)
      if (method === 'DELETE') {
        if (room === 'places' && household.animals.some((animal) => animal.place === id)) {
          return problem(409, 'inUse', 'Animals live here; move them first.')
        }
        household = { ...household, [room]: others }
        return nothing
      }
      const parsed = lists[room].safeParse(body)
      if (!parsed.success) return invalid(parsed.error.issues)
      household = { ...household, [room]: [...others, parsed.data] }
      return ok(parsed.data)
    }
    return problem(404, 'noSuchPath', 'There is nothing here.')
  }

  const server: Server = createServer((request, response) => {
    void (async () => {
      if (isStalled) return
      const url = new URL(request.url ?? '/', 'http://fixture')
      if (url.pathname === '/api/live') {
        response.writeHead(200, { 'content-type': 'text/event-stream', 'cache-control': 'no-store' })
        response.write('retry: 3000\n\n')
        streams.add(response)
        response.on('close', () => streams.delete(response))
        return
      }
      if (url.pathname.startsWith('/api/pictures/')) {
        const picture = animals.picture(request.method ?? 'GET', url.pathname, await bytesOf(request))
        response.writeHead(picture?.status ?? 404, { 'content-type': 'image/jpeg' })
        response.end(picture?.bytes)
        return
      }
      if (url.pathname.startsWith('/api/')) {
        const parts = url.pathname.slice('/api/'.length).split('/').map(decodeURIComponent)
        const reply = api(request.method ?? 'GET', parts, url.searchParams, await bodyOf(request))
        response.writeHead(reply.status, {
          'content-type': reply.status < 400 ? 'application/json' : 'application/problem+json',
          date: new Date(now()).toUTCString(),
        })
        response.end(reply.value === undefined ? '' : JSON.stringify(reply.value))
        return
      }
      await sendFile(webRoot, url.pathname, response)
    })()
  })
  await new Promise<void>((resolve) => server.listen(port, '127.0.0.1', resolve))
  const address = server.address()
  if (address === null || typeof address === 'string') throw new Error('the fixture has no port')
  return {
    url: `http://127.0.0.1:${address.port}`,
    send,
    stall: () => void (isStalled = true),
    close: () =>
      new Promise((resolve) => {
        clearInterval(beat)
        for (const stream of streams) stream.end()
        server.close(() => resolve())
        server.closeAllConnections()
      }),
  }
}

const robin = { id: 'robin', name: 'Robin', role: 'keeper' } as Person
const bela = { id: 'bela', name: 'Bela', role: 'sitter' } as Person
const keeperOnly = problem(403, 'keeperOnly', 'Only a keeper may do this.')

const withoutChannels = (household: Household): Household => ({
  ...household,
  contacts: household.contacts.map((contact) => ({ ...contact, channels: [] })),
})

const isEmpty = (scene: Scene): boolean => scene === 'empty' || scene === 'first' || scene === 'sitterEmpty'

const connection = {
  host: '192.168.1.20',
  port: 1883,
  user: 'sensors',
  password: 'fern-lamp-42-oak',
  topic: 'brumal/in/<device>',
  tryLine: `mosquitto_pub -h 192.168.1.20 -p 1883 -u sensors -P fern-lamp-42-oak -t brumal/in/first -m '[{"n":"air","u":"Cel","v":4.8}]'`,
}

async function bytesOf(request: IncomingMessage): Promise<Buffer> {
  const chunks: Buffer[] = []
  for await (const chunk of request) chunks.push(chunk as Buffer)
  return Buffer.concat(chunks)
}

async function bodyOf(request: IncomingMessage): Promise<Record<string, unknown>> {
  const text = (await bytesOf(request)).toString()
  return text === '' ? {} : (JSON.parse(text) as Record<string, unknown>)
}

const types: Record<string, string> = {
  '.png': 'image/png',
  '.webmanifest': 'application/manifest+json',
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
}

/** The same policy as the daemon's, so that what it forbids fails here too. */
const policy =
  "default-src 'self'; base-uri 'none'; connect-src 'self'; font-src 'self'; form-action 'self'; frame-ancestors 'none'; img-src 'self' data:; object-src 'none'; script-src 'self'; script-src-attr 'none'; style-src 'self'"

async function sendFile(webRoot: string, path: string, response: ServerResponse): Promise<void> {
  const asked = normalize(path).replace(/^[/\\]+/, '')
  const file = extname(asked) === '' ? 'index.html' : asked
  const content = await readFile(join(webRoot, file)).catch(() => null)
  if (content === null) {
    response.writeHead(404).end()
    return
  }
  response.writeHead(200, {
    'content-type': types[extname(file)] ?? 'application/octet-stream',
    'content-security-policy': policy,
  })
  response.end(content)
}
