import { Channel } from '../../schemas/contact.ts'
import { Household } from '../../schemas/household.ts'
import type { AlarmId, ContactId, PersonId, SensorId } from '../../schemas/ids.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import { Place } from '../../schemas/place.ts'
import type { Instant } from '../../schemas/units.ts'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import { sqlitePeople } from '../../daemon/sqlite/people.ts'
import type { FaultDaemon } from './fault-daemon.ts'
import { temporaryFolder } from './store-world.ts'

/** Five minutes before an hour ends, so that the story sees an hour closed and folded. */
export const start = Date.parse('2026-01-10T20:55:00Z')
export const tooCold = 'limit:shelf:temperature:lowCritical' as AlarmId

const probeIn = (id: string, place: string) => ({
  id,
  name: `Probe ${id}`,
  place,
  topic: `brumal/in/${id}`,
  type: 'ds18b20',
  expectedEvery: 60_000,
})
const mailOf = (id: string) => ({
  id: `${id}-mail`,
  kind: 'mail',
  label: 'Mail',
  address: `${id}@frog-house.example`,
})
const hold = [{ phase: 'hold', from: start - 30 * 86_400_000 }]
export const household = Household.parse({
  version: 1,
  name: 'The story house',
  timeZone: 'Europe/Vienna',
  places: [
    { id: 'fridge', name: 'Cellar fridge', kind: 'fridge' },
    { id: 'shelf', name: 'Shelf box', kind: 'box', parent: 'fridge' },
    { id: 'floor', name: 'Floor box', kind: 'box', parent: 'fridge' },
  ],
  sensors: [probeIn('one', 'shelf'), probeIn('two', 'floor')],
  animals: ['juno', 'remus'].map((id, i) => ({
    id,
    name: id,
    species: 'testudo-hermanni',
    place: i === 0 ? 'shelf' : 'floor',
    mode: 'goesDown',
    plan: hold,
  })),
  contacts: [
    {
      id: 'ada',
      name: 'Ada',
      channels: [
        mailOf('ada'),
        { id: 'ada-relay', kind: 'relay', label: 'Relay', url: 'https://relay.frog-house.example/ada' },
      ],
    },
    { id: 'bela', name: 'Bela', channels: [mailOf('bela')] },
  ],
})

/** What the shelf's probe measures: it falls below freezing in the second minute and recovers in the eighth. */
export const celsiusOn = (minute: number, sensor: 'one' | 'two'): number =>
  (sensor === 'one' && minute >= 2 && minute < 8 ? -1 : 5) + minute / 128

export interface Sent {
  readonly minute: number
  readonly parcel: Parcel
}

/** A house where a keeper has signed in once and nothing else has happened, made once for all stories. */
export function aFreshHouse(): { readonly path: string; readonly remove: () => void } {
  const folder = temporaryFolder()
  const db = openDatabase(folder.path)
  sqlitePeople(db).savePerson({ id: 'bela' as PersonId, name: 'Bela', role: 'keeper', passwordHash: 'none' })
  db.close()
  return folder
}

export interface Act {
  readonly name: string
  readonly minute: number
  readonly does: (
    daemon: FaultDaemon,
    /** What was sent so far, and whether an act that came before is still to be done. */
    so: { readonly sent: readonly Sent[]; readonly isToDo: (act: string) => boolean },
  ) => unknown
}

const by = 'Ada'
const ada = 'ada' as ContactId
export const relay = household.contacts[0]?.channels[1]?.id ?? ('' as never)
const range = [start as Instant, (start + 3_600_000) as Instant] as const
const good = (outcome: { ok: boolean; sentence?: string }) => {
  if (!outcome.ok) throw new Error(outcome.sentence)
}

/** What people do. Whoever is shown an error does it again a minute later. */
export const acts: readonly Act[] = [
  {
    name: 'saveChannel',
    minute: 1,
    does: ({ desk }) =>
      good(
        desk.saveChannel(
          ada,
          Channel.parse(household.contacts[0]?.channels[1]),
          { kind: 'relay', token: 'relay-token-4d1f' },
          by,
        ),
      ),
  },
  {
    name: 'makeDevice',
    minute: 1,
    does: ({ logins }) => logins.devices.make({ name: 'lamp', kind: 'signal', topics: [] }),
  },
  {
    name: 'makeOtherDevice',
    minute: 1,
    does: ({ logins }) => logins.devices.make({ name: 'old-lamp', kind: 'signal', topics: [] }),
  },
  { name: 'ring', minute: 1, does: ({ desk }) => desk.ring(ada, relay, by).then(good) },
  {
    name: 'rang',
    minute: 2,
    does: ({ desk }, { isToDo }) => {
      // Another secret makes it a channel that has yet to ring
      if (isToDo('saveChannel')) throw new Error('there is nothing yet that could ring')
      good(desk.rang(ada, relay, by))
    },
  },
  { name: 'closeSharedLogin', minute: 2, does: ({ logins }) => logins.devices.openSharedLogin(false) },
  {
    name: 'removeDevice',
    minute: 2,
    does: ({ logins }, { isToDo }) => {
      if (isToDo('makeOtherDevice')) throw new Error('it has not been made yet')
      logins.devices.remove('old-lamp')
    },
  },
  {
    name: 'saveContact',
    minute: 2,
    does: ({ desk }) =>
      good(
        desk.saveContact(
          {
            ...(household.contacts[1] as never as (typeof household.contacts)[0]),
            name: 'Bela B',
            person: 'bela' as never,
          },
          by,
        ),
      ),
  },
  {
    name: 'acknowledge',
    minute: 7,
    does: ({ desk, house }) => {
      const alarm = house.state().alarms.get(tooCold)
      // Over before anybody could answer it: there is nothing left to do
      if (alarm === undefined) throw new Error('not raised yet')
      good(desk.acknowledge(tooCold, alarm.occurrence, by))
    },
  },
  {
    name: 'look',
    minute: 7,
    does: ({ desk }, { sent }) => {
      const links = sent.flatMap(({ parcel }) => (parcel.alarm === tooCold ? [parcel.message.link] : []))
      if (links.length === 0) throw new Error('no message yet')
      const token = links.flatMap((link) => link?.split('#').slice(1) ?? [])[0]
      if (token !== undefined) return good(desk.answers.look(token))
      // The link of a message that could not be sealed leads to the page where one signs in
      if (links[0] !== 'https://house.example/alarms') throw new Error('a message that leads nowhere')
      if (!desk.alarms().journal.some(({ alarm }) => alarm === tooCold)) throw new Error('no such alarm')
    },
  },
  {
    name: 'savePlace',
    minute: 8,
    does: ({ desk }) => good(desk.savePlace(Place.parse({ ...household.places[2], name: 'Bottom box' }), by)),
  },
  {
    name: 'saveAnimal',
    minute: 8,
    does: ({ desk }) =>
      good(
        desk.saveAnimal(
          { ...(household.animals[1] as (typeof household.animals)[0]), id: 'nova' as never, name: 'nova' },
          by,
          'she lies in the cold already',
        ),
      ),
  },
  {
    name: 'saveEntry',
    minute: 9,
    does: ({ desk }) =>
      good(
        desk.saveEntry(
          {
            id: 'weighed-once' as never,
            at: desk.tonight().at,
            animal: (household.animals[0] as (typeof household.animals)[0]).id,
            note: { kind: 'weighed', grams: 812 },
          },
          by,
        ),
      ),
  },
  {
    name: 'removeChannel',
    minute: 11,
    does: ({ desk }) => {
      const outcome = desk.removeChannel(ada, 'ada-mail' as never, by)
      if (!outcome.ok && outcome.error !== 'noSuchChannel') throw new Error(outcome.sentence)
    },
  },
  {
    name: 'night',
    minute: 11,
    does: ({ desk }) => {
      const night = desk.nightCurve('shelf' as never, 'temperature', null)
      if (!night.ok || night.value.series.length === 0) throw new Error('an empty night')
    },
  },
  {
    name: 'winter',
    minute: 11,
    does: ({ desk }) => {
      const winter = desk.winter('shelf' as never, 'temperature', null)
      if (!winter.ok || (winter.value.nights[0]?.readings ?? 0) === 0) throw new Error('an empty winter')
    },
  },
  ...[11, 13].flatMap((minute): Act[] => [
    {
      name: `telling ${minute}`,
      minute,
      does: ({ desk }) => {
        if (!desk.telling().contacts[0]?.channels.some(({ rungAt }) => rungAt !== null))
          throw new Error('no ring is known')
      },
    },
    {
      name: `alarms ${minute}`,
      minute,
      does: ({ desk }) => {
        if (desk.alarms().journal.length === 0) throw new Error('an empty journal')
      },
    },
    {
      name: `series ${minute}`,
      minute,
      does: ({ desk }) => {
        const series = desk.series('one' as SensorId, 'temperature', ...range, 100)
        if (!series.ok || series.value.columns.at.length === 0) throw new Error('an empty curve')
      },
    },
    { name: `messages ${minute}`, minute, does: ({ desk }) => desk.messages(50) },
  ]),
]
