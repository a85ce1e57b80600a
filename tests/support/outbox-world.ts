import type { Database } from 'better-sqlite3'
import { openOutbox, type Outbox, type OutboxWorld } from '../../daemon/app/outbox.ts'
import type { Delivery, OutboxStore, Sender, Senders } from '../../daemon/ports/outbox.ts'
import { sqliteOutbox } from '../../daemon/sqlite/outbox.ts'
import { hours, later, millis } from '../../schemas/amounts.ts'
import { Channel } from '../../schemas/contact.ts'
import { AlarmId, ChannelId, type ContactId } from '../../schemas/ids.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import type { SimulatedTime } from './simulated-time.ts'
import { openStore } from './store-world.ts'
import { waitingParcel } from './waiting-parcel.ts'

export const channelId = (name: string): ChannelId => ChannelId.parse(name)
export const alarmId = (name: string): AlarmId => AlarmId.parse(`silent:${name}`)

/** A channel of each kind for everyone whom a test names: `ada-phone` is a relay unless its name says otherwise. */
export function channelNamed(name: string): Channel {
  const common = { id: name, label: name }
  if (name.endsWith('-mail'))
    return Channel.parse({ ...common, kind: 'mail', address: 'ada@frog-house.example' })
  if (name.endsWith('-push')) return Channel.parse({ ...common, kind: 'push' })
  const url = `https://relay.frog-house.example/${name}`
  if (name.endsWith('-sms')) return Channel.parse({ ...common, kind: 'webhook', url, template: '{{title}}' })
  return Channel.parse({ ...common, kind: 'relay', url })
}

interface OneTry {
  readonly channel: ChannelId
  readonly parcel: Parcel
  readonly secret: unknown
  readonly signal: AbortSignal
  readonly at: number
  /** Once only; what is answered after the outbox gave up reaches nobody. */
  answer(delivery: Delivery): void
  /** The sender breaks down. */
  throws(fault: unknown): void
}

export const takes: Delivery = { outcome: 'delivered', sentence: 'The relay took the message (200).' }
export const laterOn = (retryAfter: number | null = null): Delivery => ({
  outcome: 'later',
  retryAfter: retryAfter === null ? null : millis(retryAfter),
  sentence: 'The relay could not take the message now (503).',
})

/** The network as chance has it: every try waits until the test says what comes of it. */
export function scriptedNetwork(time: SimulatedTime) {
  const open: OneTry[] = []
  const all: OneTry[] = []
  const send: Sender<Channel['kind']>['send'] = (channel, secret, parcel, signal) =>
    new Promise((resolve, reject) => {
      const end = <Value>(settle: (value: Value) => void) => {
        return (value: Value) => {
          const i = open.indexOf(one)
          if (i >= 0) open.splice(i, 1)
          settle(value)
        }
      }
      const one: OneTry = {
        channel: channel.id,
        parcel,
        secret,
        signal,
        at: time.clock.now(),
        answer: end(resolve),
        throws: end(reject),
      }
      open.push(one)
      all.push(one)
    })
  return {
    senders: { push: { send }, relay: { send }, mail: null, webhook: { send } } satisfies Senders,
    open,
    all,
    /** What a killed process had sent is answered to nobody. */
    forget: () => void open.splice(0),
    async answer(delivery: Delivery, which = 0): Promise<void> {
      const one = open[which]
      if (one === undefined) throw new Error('nothing is being sent')
      one.answer(delivery)
      await time.settle()
    },
  }
}

/** An outbox over a real database, a simulated clock, and everything that it said. */
export function anOutboxWorld(given: {
  readonly folder: string
  readonly time: SimulatedTime
  readonly senders: Senders
  /** Contacts and the names of their channels; a test may take some away. */
  readonly contacts: { [contact: string]: readonly string[] }
  readonly refresh?: OutboxWorld['refresh']
  readonly wrap?: (store: OutboxStore) => OutboxStore
}) {
  const { time, contacts } = given
  const { db, store }: { db: Database; store: { close(): void } } = openStore(given.folder)
  const outboxStore = sqliteOutbox(db)
  const heard: string[] = []
  const logged: { readonly level: string; readonly about: object; readonly sentence: string }[] = []
  const failed: Parcel[] = []
  const reached: Parameters<OutboxWorld['on']['reach']>[0][] = []
  const noting = (level: string) => (about: object, sentence: string) =>
    void logged.push({ level, about, sentence })
  const open = (): Outbox =>
    openOutbox({
      store: given.wrap?.(outboxStore) ?? outboxStore,
      senders: given.senders,
      clock: time.clock,
      timer: time.timer,
      random: () => 0.5,
      log: { debug: noting('debug'), info: noting('info'), warn: noting('warn'), error: noting('error') },
      channelOf: (contact, channel) =>
        contacts[contact]?.includes(channel) === true ? channelNamed(channel) : null,
      channelsOf: (contact) => (contacts[contact] ?? []).map(channelId),
      allChannels: () => Object.values(contacts).flatMap((names) => names.map(channelNamed)),
      refresh: given.refresh ?? ((parcel) => parcel.message),
      on: {
        delivered: ({ key }) => void heard.push(`delivered ${key}`),
        failed: (parcel) => {
          failed.push(parcel)
          heard.push(`failed ${parcel.key}`)
        },
        gone: (contact, channel) => void heard.push(`gone ${contact} ${channel}`),
        reach: (change) => {
          reached.push(change)
          heard.push(`${change.contact} ${change.isReached ? 'reached' : 'out of reach'}`)
        },
      },
    })
  const world = {
    db,
    store: outboxStore,
    outbox: open(),
    heard,
    logged,
    failed,
    reached,
    /** Born now, worth sending for a day. */
    born: (key: string, more: Partial<Parcel> = {}): Parcel => {
      const now = time.clock.now()
      const channel = more.channel ?? channelId('ada-phone')
      const contact = channel.split('-')[0] as ContactId
      return waitingParcel(key, {
        bornAt: now,
        dueAt: now,
        expiresAt: later(now, hours(24)),
        contact,
        ...more,
      })
    },
    /** As the house does: committed first, then handed over. */
    async put(...parcels: readonly Parcel[]): Promise<void> {
      for (const parcel of parcels) outboxStore.save(parcel)
      world.outbox.put(parcels)
      await time.settle()
    },
    async start(): Promise<void> {
      world.outbox.start()
      await time.settle()
    },
    /** The process is gone without a word, and another begins. */
    async again(): Promise<void> {
      time.forget()
      world.outbox = open()
      await world.start()
    },
    stored: (key: string): Parcel | undefined =>
      outboxStore.recent(1000).find((parcel) => parcel.key === key),
    errors: () => logged.filter(({ level }) => level === 'error').map(({ sentence }) => sentence),
    close: () => store.close(),
  }
  return world
}

export type TestedOutbox = ReturnType<typeof anOutboxWorld>
