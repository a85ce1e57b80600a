import {
  type AccessNow,
  ChangePassword,
  ChangeRole,
  Device,
  type DeviceNow,
  Invite,
  Join,
  MakeToken,
  type SessionNow,
} from '../../schemas/access.ts'
import { days, hours, later, minutes } from '../../schemas/amounts.ts'
import type { Person, Role } from '../../schemas/person.ts'
import type { Instant } from '../../schemas/units.ts'
import { invalid, nothing, ok, problem, type Reply } from './web-fixture-reply.ts'

interface DoorsFixture {
  /** Answers what anyone may ask; null for what is not its. `onJoin` signs the page in. */
  publicly(method: string, room: string, body: Record<string, unknown>): Reply | null
  /** Answers whoever is signed in; null for what is not its. */
  within(method: string, parts: readonly string[], body: Record<string, unknown>): Reply | null
}

/** Handles have 16 signs. */
const handle = (name: string): string => name.padEnd(16, '0').slice(0, 16)

/** Invented people, browsers, keys and devices. An invitation opens by the key `join`; `joined` is used, `lapsed` too old. */
export function fixtureDoors(world: {
  readonly now: () => Instant
  readonly me: () => Person
  readonly isOurs: boolean
  readonly onJoin: (person: Person) => void
}): DoorsFixture {
  const { now, me } = world
  const access = inventedAccess(now(), me())
  let devices = inventedDevices(now())
  let sharedLogin = true
  const invited = { name: 'Cleo', role: 'sitter' as Role, household: 'Mill Lane' }

  const publicly = (method: string, room: string, body: Record<string, unknown>): Reply | null => {
    if (method !== 'POST' || (room !== 'invitation' && room !== 'join')) return null
    if (body['token'] === 'lapsed')
      return problem(410, 'oldLink', 'This invitation is too old. Ask for another.')
    if (body['token'] !== 'join')
      return problem(403, 'badLink', 'This invitation has been used or withdrawn, or never was.')
    if (room === 'invitation') return ok(invited)
    const join = Join.safeParse(body)
    if (!join.success) return invalid(join.error.issues)
    const person = { id: 'cleo', name: 'Cleo', role: 'sitter' } as Person
    world.onJoin(person)
    return ok({ person, setUpNeeded: false })
  }

  const within = (
    method: string,
    [room = '', id = '', what = '']: readonly string[],
    body: Record<string, unknown>,
  ): Reply | null => {
    if (room === 'me' && id === 'sessions')
      return ok(access.sessions.filter(({ person }) => person === me().id))
    if (room === 'me' && id === 'password') {
      const change = ChangePassword.safeParse(body)
      if (!change.success) return invalid(change.error.issues)
      if (change.data.old === 'wrong')
        return problem(403, 'wrongPassword', 'That is not your password until now.')
      access.sessions = access.sessions.filter(({ person, isThis }) => person !== me().id || isThis)
      return nothing
    }
    if (room === 'sessions') {
      access.sessions = access.sessions.filter((session) => session.id !== id)
      return nothing
    }
    const rooms = ['access', 'invitations', 'people', 'tokens', 'devices', 'shared-login']
    if (!rooms.includes(room)) return null
    if (me().role !== 'keeper') return problem(403, 'keeperOnly', 'Only a keeper may do this.')
    if (room === 'access') return ok(access)
    if (room === 'invitations' && method === 'POST') {
      const invite = Invite.safeParse(body)
      if (!invite.success) return invalid(invite.error.issues)
      if (access.people.some(({ name }) => name.toLowerCase() === invite.data.name.toLowerCase()))
        return problem(409, 'nameTaken', 'Somebody of this name signs in already. Choose another.')
      const invitation = {
        ...invite.data,
        id: handle(invite.data.name.replace(/\W/g, '-')),
        by: me().name,
        expiresAt: later(now(), days(7)),
      }
      access.invitations.push(invitation)
      return ok({
        invitation,
        link: 'http://192.168.1.20:8420/join#mT3vJq1Zk8sR5bXo0wYfLd7uHc2eNa9iPg4xQyBzKtA',
      })
    }
    if (room === 'invitations') {
      access.invitations = access.invitations.filter((one) => one.id !== id)
      return nothing
    }
    if (room === 'people') {
      const person = access.people.find((one) => one.id === id)
      if (person === undefined) return problem(404, 'noSuchPerson', 'There is nobody of this name.')
      const keepers = access.people.filter(({ role }) => role === 'keeper')
      if (person.role === 'keeper' && keepers.length === 1)
        return problem(409, 'lastKeeper', 'This is the only keeper. Make somebody else a keeper first.')
      if (method === 'DELETE') {
        access.people = access.people.filter((one) => one !== person)
        access.sessions = access.sessions.filter((one) => one.person !== person.id)
        return nothing
      }
      if (what !== 'role') return null
      person.role = ChangeRole.parse(body).role
      return ok(person)
    }
    if (room === 'tokens' && method === 'POST') {
      const make = MakeToken.safeParse(body)
      if (!make.success) return invalid(make.error.issues)
      const { name, scope, days: lasts } = make.data
      const token = {
        id: handle(name.replace(/\W/g, '-')),
        name,
        scope,
        by: me().name,
        createdAt: now(),
        usedAt: null,
        expiresAt: lasts === null ? null : later(now(), days(lasts)),
      }
      access.tokens.push(token)
      return ok({ token, secret: 'brumal_x7Vn2QmCw5LtY0aRk3JdZs8HpUe1GiBf6oTqXv4NcMy' })
    }
    if (room === 'tokens') {
      access.tokens = access.tokens.filter((one) => one.id !== id)
      return nothing
    }
    if (room === 'shared-login') {
      sharedLogin = body['on'] === true
      return ok({ devices, sharedLogin, isOurs: world.isOurs })
    }
    if (method === 'GET')
      return ok({ devices: world.isOurs ? devices : [], sharedLogin, isOurs: world.isOurs })
    if (method === 'DELETE') {
      devices = devices.filter(({ name }) => name !== id)
      return nothing
    }
    const device = Device.safeParse(body)
    if (!device.success) return invalid(device.error.issues)
    const made: DeviceNow = { ...device.data, createdAt: now(), seenAt: null }
    devices = [...devices.filter(({ name }) => name !== made.name), made]
    const password = 'k3TqYw-81LmXz0VbRd2s'
    return ok({ device: made, password, snippets: snippetsFor(made, password) })
  }

  return { publicly, within }
}

const phone =
  'Mozilla/5.0 (Linux; Android 14; K) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/131.0.0.0 Mobile Safari'
const desk = 'Mozilla/5.0 (X11; Linux x86_64; rv:133.0) Gecko/20100101 Firefox/133.0'

function inventedAccess(now: Instant, me: Person): { -readonly [K in keyof AccessNow]: AccessNow[K] } {
  const session = (
    id: string,
    person: string,
    agent: string,
    seenAt: number,
    isThis: boolean,
  ): SessionNow => ({
    id: handle(id),
    person: person as Person['id'],
    createdAt: later(now, -days(20)),
    seenAt: later(now, -seenAt),
    agent,
    isThis,
  })
  const bela = { id: 'bela', name: 'Bela', role: 'sitter' } as Person
  const robin = { id: 'robin', name: 'Robin', role: 'keeper' } as Person
  return {
    people: [robin, bela],
    sessions: [
      session('this', me.id, desk, 0, true),
      session('phone', me.id, phone, hours(3), false),
      session('tablet', me.id === 'bela' ? 'robin' : 'bela', 'curl/8.5.0', days(12), false),
    ],
    invitations: [
      {
        id: handle('dana'),
        name: 'Dana',
        role: 'sitter',
        by: 'Robin',
        expiresAt: later(now, days(6)),
      },
    ],
    tokens: [
      {
        id: handle('porch'),
        name: 'Porch display',
        scope: 'look',
        by: 'Robin',
        createdAt: later(now, -days(60)),
        usedAt: later(now, -minutes(9)),
        expiresAt: null,
      },
      {
        id: handle('export'),
        name: 'Weekly export',
        scope: 'keep',
        by: 'Robin',
        createdAt: later(now, -days(2)),
        usedAt: null,
        expiresAt: later(now, days(28)),
      },
    ],
  }
}

const inventedDevices = (now: Instant): DeviceNow[] => [
  {
    name: 'top-probe',
    kind: 'sensor',
    topics: [],
    createdAt: later(now, -days(40)),
    seenAt: later(now, -12_000),
  },
  {
    name: 'cellar-meter',
    kind: 'sensor',
    topics: ['workshop/cellar/#'],
    createdAt: later(now, -days(9)),
    seenAt: later(now, -hours(5)),
  },
  { name: 'hall-lamp', kind: 'signal', topics: [], createdAt: later(now, -days(2)), seenAt: null },
]

const snippetsFor = ({ name, kind }: DeviceNow, password: string) =>
  kind === 'sensor'
    ? [
        {
          title: 'Login',
          text: `host: 192.168.1.20\nport: 1883\nuser: ${name}\npassword: ${password}\ntopic: brumal/in/${name}`,
        },
        {
          title: 'Try it from a shell',
          text: `mosquitto_pub -h 192.168.1.20 -p 1883 -u ${name} -P '${password}' -q 1 -t brumal/in/${name} -m '[{"n":"temperature","u":"Cel","v":5.1}]'`,
        },
      ]
    : [
        {
          title: 'Login',
          text: `host: 192.168.1.20\nport: 1883\nuser: ${name}\npassword: ${password}\nreads: brumal/alarm/#`,
        },
      ]
