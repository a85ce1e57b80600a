import type { Device, DeviceNow, InvitationNow, TokenScope } from '../schemas/access.ts'
import type { Alarm } from '../schemas/alarm.ts'
import type { Animal } from '../schemas/animal.ts'
import type {
  AlarmsNow,
  BrokerState,
  Columns,
  Connection,
  House,
  JournalLine,
  LiveEvent,
  NightCurve,
  PlaceNow,
  Series,
  Tonight,
  Winter,
} from '../schemas/api.ts'
import type { Channel, ChannelSecret, Contact, Telling } from '../schemas/contact.ts'
import type { PlaceAir } from '../schemas/air.ts'
import type { DiaryLine } from '../schemas/diary.ts'
import type { PlaceLag } from '../schemas/lag.ts'
import type { PlaceCost } from '../schemas/cost.ts'
import type { Household } from '../schemas/household.ts'
import type {
  AlarmId,
  AnimalId,
  ChannelId,
  ContactId,
  PersonId,
  PlaceId,
  SensorId,
  SpeciesId,
} from '../schemas/ids.ts'
import type { JournalEntry, JournalKind } from '../schemas/journal.ts'
import type { BackupLine, KeepingNow } from '../schemas/keeping.ts'
import type { Parcel } from '../schemas/outbox.ts'
import type { PlaceOutlook } from '../schemas/outlook.ts'
import type { Person } from '../schemas/person.ts'
import type { Place } from '../schemas/place.ts'
import type { Quantity } from '../schemas/quantity.ts'
import type { Quality, Reading } from '../schemas/reading.ts'
import type { CalibratedQuantity } from '../schemas/calibration.ts'
import type { Sensor } from '../schemas/sensor.ts'
import type { FoundCorrection, RawReadings } from '../schemas/sensor-check.ts'
import type { Found, Refusal, Source } from '../schemas/source.ts'
import type { SpeciesProfile } from '../schemas/species.ts'
import type { AnswerNow, MessageLine, TellingNow } from '../schemas/telling-now.ts'
import type { TrialAct, TrialKept, TrialNow } from '../schemas/trial-report.ts'
import type { Instant, Millis } from '../schemas/units.ts'
import type { ImportDesk, ImportStore } from './ports/imports.ts'
import type { Outcome } from './ports/outcome.ts'
import type { MetricsDesk } from './ports/metrics.ts'
import type { ReportDesk } from './ports/reports.ts'
import type { DiaryDesk, SeasonDesk } from './ports/season.ts'
import type { ZonesOf, ZoneTimes } from './ports/zones.ts'
import type { WhatIfDesk } from './ports/what-if.ts'

export type { Outcome } from './ports/outcome.ts'
export type { Point, ZonesOf, ZoneTimes } from './ports/zones.ts'

/** The world's time. `uptime` never jumps; `now` may. */
export interface Clock {
  now(): Instant
  uptime(): Millis
}

/** Waiting, given from outside so that tests can hold it still. */
export interface Timer {
  /** As soon as what is in hand is done. */
  soon(act: () => void): void
  after(ms: Millis, act: () => void): { cancel(): void }
}

/** One structured line per event; the object first, the sentence second. Never given a secret (X4). */
export interface Log {
  debug(about: object, sentence: string): void
  info(about: object, sentence: string): void
  warn(about: object, sentence: string): void
  error(about: object, sentence: string): void
}

export type RandomBytes = (count: number) => Uint8Array

/** Signs text so that nobody else can make or change it. */
export interface Seal {
  seal(text: string): string
  /** The text, or null where the seal is not ours. */
  open(token: string): string | null
}

// ── MQTT ────────────────────────────────────────────────────────────────────────────────────────────────────────

/** A message as a broker gave it to us. */
export interface Packet {
  readonly topic: string
  readonly payload: Uint8Array
  readonly qos: 0 | 1 | 2
  readonly retained: boolean
  /** Who sent it to our own broker, and sends nothing more until it is answered. */
  readonly client?: string
}

/**
 * Called exactly once: of QoS 0 at once; else in order of arrival, `null` after what came of the packet is committed, so
 * that the broker may be told; an error when it could not be stored, so that the broker keeps it.
 */
export type Settle = (failure: Error | null) => void

export type OnPacket = (packet: Packet, settle: Settle) => void

/** Either kind of broker. `start` never throws for a network reason: it says so in its state and tries again. */
export interface Broker {
  start(onPacket: OnPacket): void
  state(): BrokerState
  onState(listener: (state: BrokerState) => void): void
  /** Called where a broker that was to keep our session has forgotten it: what was sent meanwhile is lost. */
  onForgotten(listener: () => void): void
  /** Resolves when handed to the network; a broker that is down drops it. */
  publish(topic: string, payload: string | Uint8Array, options: { retain: boolean }): Promise<void>
  /** Takes nothing new, settles what is in hand, closes. */
  stop(): Promise<void>
}

/** One value from a claimed sensor; `at` is null when the message carried no time of its own. */
export interface Heard {
  readonly sensor: SensorId
  readonly quantity: Quantity
  readonly value: number
  readonly at: Instant | null
}

/** A packet after claiming and decoding: what it held for our sensors, what else was found, or why it was refused. */
export interface Arrival {
  readonly topic: string
  readonly payload: Uint8Array
  readonly retained: boolean
  readonly qos: 0 | 1 | 2
  readonly client?: string | undefined
  readonly claimedBy: readonly SensorId[]
  readonly heard: readonly Heard[]
  readonly found: readonly Found[]
  readonly refusal: Refusal | null
}

export type Intake = (arrival: Arrival, settle: Settle) => void

/** Turns packets into arrivals. Told anew whenever the claims change. */
export interface Listener {
  useSensors(sensors: readonly Sensor[]): void
  readonly onPacket: OnPacket
}

// ── Store ───────────────────────────────────────────────────────────────────────────────────────────────────────

/** A reading with what is believed of it. */
export interface JudgedReading extends Reading {
  readonly quality: Quality
}

/** The watch's state as text, kept in the same transaction as what led to it. */
export type Snapshot = string

/** Everything that one commit holds. Absent parts are left as they are. */
export interface Batch {
  readonly readings: readonly JudgedReading[]
  readonly journal: readonly JournalEntry[]
  readonly snapshot?: Snapshot
  readonly household?: Household
  /** Acts that the diary keeps, in the same transaction as what they changed. */
  readonly diary?: readonly DiaryLine[]
  /** Messages to go out, kept in the same transaction as the alarm that they are about. */
  readonly parcels?: readonly Parcel[]
}

/** Summary of the good readings of a stretch. */
export interface Summary {
  readonly readings: number
  readonly min: number | null
  readonly max: number | null
  readonly mean: number | null
  readonly zones: ZoneTimes
}

/** What thinning took away: single readings of hours whose summary stays. */
export interface ThinResult {
  readonly hours: number
  readonly readings: number
  /** Of readings as they were stored. The file keeps the room for new ones. */
  readonly bytes: number
}

/** How much there is in the store. */
export interface StoreSize {
  /** Of the file, and of the parts of it that hold something. */
  readonly fileBytes: number
  readonly usedBytes: number
  /** Start of the oldest hour of which every reading is kept; null where nothing is. */
  readonly everyReadingFrom: Instant | null
  /** Start of the oldest hour of which only the summary is kept; null where none is. */
  readonly hourlyFrom: Instant | null
}

export interface FoldResult {
  readonly blocks: number
  readonly readings: number
  readonly late: number
}

/** Where everything is kept. Synchronous: a call that returns has happened; a call that throws has not. */
export interface Store extends ImportStore {
  /** One transaction. Repeats of (sensor, quantity, at) are stored once. Returns the journal lines with their ids. */
  commit(batch: Batch): readonly JournalLine[]
  household(): Household | null
  /** The last snapshot and, in order of arrival, every reading committed after it. */
  resume(): { readonly snapshot: Snapshot | null; readonly since: readonly JudgedReading[] }
  /**
   * Moves readings of hours that ended before `closedBefore` into blocks, merging late ones, and keeps `snapshot` in
   * the same transaction.
   */
  fold(closedBefore: Instant, zonesOf: ZonesOf, snapshot: Snapshot): FoldResult
  /** How many readings still wait for the fold. */
  unfolded(): number

  /** Takes the single readings out of at most `atMost` hour blocks that ended before `before`, oldest first. */
  thin(before: Instant, atMost: number): ThinResult
  size(): StoreSize

  /** Every reading from `from` (included) to `to` (left out), oldest first, bad ones too. */
  readings(sensor: SensorId, quantity: Quantity, from: Instant, to: Instant): readonly JudgedReading[]
  /**
   * Good readings gathered into at most `count` equal columns between `from` and `to`; full resolution when there are
   * no more readings than columns. `gap`: a silence longer than this is a `null` row.
   */
  columns(
    sensor: SensorId,
    quantity: Quantity,
    from: Instant,
    to: Instant,
    count: number,
    gap: Millis,
  ): { readonly resolution: 'readings' | 'columns'; readonly columns: Columns }
  /** One summary per stretch. Stretches are ascending and do not overlap. */
  summaries(
    sensor: SensorId,
    quantity: Quantity,
    stretches: readonly { readonly from: Instant; readonly to: Instant }[],
    zonesOf: ZonesOf,
  ): readonly Summary[]
  /** Instants of the first and last stored reading, or null. */
  span(sensor: SensorId, quantity: Quantity): { readonly first: Instant; readonly last: Instant } | null

  /** Newest first, ids below `before`. With `places` or `kinds` only their lines; those that name no place are no place's. */
  journal(query: {
    readonly before?: number
    readonly limit: number
    readonly from?: Instant
    readonly to?: Instant
    readonly alarmsOnly?: boolean
    readonly places?: readonly PlaceId[]
    readonly kinds?: readonly JournalKind[]
  }): readonly JournalLine[]

  close(): void
}

// ── Keeping ─────────────────────────────────────────────────────────────────────────────────────────────────────

/** Copies of the database, somewhere else. */
export interface Backups {
  /** Where they go, as the settings say. */
  readonly folder: string
  /**
   * Makes one, looks through it, and lets the oldest go. Rejects with a sentence; leaves no half of one. Ends within
   * seconds of `signal`, with its reason, whatever the folder does.
   */
  make(now: Instant, signal: AbortSignal): Promise<BackupLine>
  /**
   * Newest first, those from the future of `now` last; rejects when the folder cannot be read. A folder that hangs is for
   * the caller to give up with `signal`: no answer holds the thread.
   */
  list(now: Instant, signal: AbortSignal): Promise<readonly BackupLine[]>
}

/** Room on the disk under a folder; null where this machine does not say. */
export type DiskSpace = () => { readonly freeBytes: number; readonly totalBytes: number } | null

/** Whoever started the daemon and starts it again when it stops answering. */
export interface Supervisor {
  /** Judging has begun. */
  ready(): void
  /** Called at every tick; passed on as often as the supervisor asks. */
  alive(): void
  stopping(): void
}

// ── Doors ───────────────────────────────────────────────────────────────────────────────────────────────────────

export interface StoredPerson extends Person {
  readonly passwordHash: string
}

export interface StoredSession {
  readonly tokenHash: string
  readonly person: PersonId
  readonly createdAt: Instant
  readonly seenAt: Instant
  readonly expiresAt: Instant
  readonly agent: string
}

/** `id` is the first 16 signs of `tokenHash`. */
export interface StoredInvitation extends InvitationNow {
  readonly tokenHash: string
}

export interface StoredToken {
  readonly tokenHash: string
  readonly name: string
  readonly scope: TokenScope
  /** The keeper who made it; it ends with the keeper. */
  readonly person: PersonId
  readonly createdAt: Instant
  readonly usedAt: Instant | null
  readonly expiresAt: Instant | null
}

/** People, their sessions, invitations and tokens, and the daemon's own secrets. Lives in the same database. */
export interface PeopleStore {
  people(): readonly StoredPerson[]
  savePerson(person: StoredPerson): void
  /** With everything of theirs: sessions and tokens. */
  removePerson(person: PersonId): void
  session(tokenHash: string): StoredSession | null
  /** Newest use first. */
  sessions(): readonly StoredSession[]
  saveSession(session: StoredSession): void
  endSession(tokenHash: string): void
  /** All but the session of `except`, where one is named. */
  endSessionsOf(person: PersonId, except?: string): void
  /** Sessions, invitations and tokens whose end has come. */
  endExpired(now: Instant): void
  invitations(): readonly StoredInvitation[]
  saveInvitation(invitation: StoredInvitation): void
  /** Says whether it was still there: of two who use it at once, one gets true. */
  takeInvitation(tokenHash: string): boolean
  tokens(): readonly StoredToken[]
  token(tokenHash: string): StoredToken | null
  saveToken(token: StoredToken): void
  endToken(tokenHash: string): void
  /** A named secret, made by `make` the first time. */
  secret(name: string, make: () => string): string
  forgetSecret(name: string): void
}

export interface StoredDevice extends DeviceNow {
  /** SHA-256 of a random password: not to be guessed, so a plain hash is enough. */
  readonly passwordHash: string
}

/** Devices that have a login of their own at the embedded broker (X2). Lives in the same database. */
export interface DeviceStore {
  devices(): readonly StoredDevice[]
  saveDevice(device: StoredDevice): void
  removeDevice(name: string): void
  /** Whether the login that all sensors may share is open; true in a new house. */
  isSharedLoginOpen(): boolean
  setSharedLogin(isOpen: boolean): void
}

/** What Set-up does with devices. Passwords leave it once, at their making. */
export interface Devices {
  list(): { readonly devices: readonly DeviceNow[]; readonly sharedLogin: boolean; readonly isOurs: boolean }
  /** Makes it, or gives a device that is there a new password and these topics. */
  make(device: Device): {
    readonly device: DeviceNow
    readonly password: string
    readonly snippets: readonly { readonly title: string; readonly text: string }[]
  }
  remove(name: string): boolean
  openSharedLogin(isOpen: boolean): void
}

// ── Telling ─────────────────────────────────────────────────────────────────────────────────────────────────────

/**
 * What came of one try. `gone`: this channel will never work again (410, 404) · `refused`: this message will not be
 * taken however often it is tried · `later`: try again, not before `retryAfter` where the receiver named a time.
 */
export type Delivery =
  | { readonly outcome: 'delivered'; readonly sentence: string }
  | { readonly outcome: 'gone' | 'refused'; readonly sentence: string }
  | { readonly outcome: 'later'; readonly retryAfter: Millis | null; readonly sentence: string }

/**
 * Sends one parcel by one kind of channel. Never throws for anything that a network or a receiver does: that is a
 * `Delivery`. Ends within `signal`; an answer that comes later is nobody's.
 */
export interface Sender<Kind extends Channel['kind']> {
  send(
    channel: Extract<Channel, { kind: Kind }>,
    secret: ChannelSecret | null,
    parcel: Parcel,
    signal: AbortSignal,
  ): Promise<Delivery>
}

export type Senders = { readonly [Kind in Channel['kind']]: Sender<Kind> | null }

/** Parcels and channel secrets. In the same database; `commit` of the Store puts new parcels in with their alarm. */
export interface OutboxStore {
  /** Every parcel that still waits, oldest first. */
  waiting(): readonly Parcel[]
  /** Puts it in or over the one with its key. */
  save(parcel: Parcel): void
  /** Newest born first. */
  recent(limit: number): readonly Parcel[]
  /** Removes ended parcels born before `before`; returns how many. */
  forgetEnded(before: Instant): number
  channelSecret(channel: ChannelId): ChannelSecret | null
  /** Another secret than before makes the channel one that has yet to ring. */
  saveChannelSecret(channel: ChannelId, secret: ChannelSecret): void
  /** With when it rang. */
  forgetChannelSecret(channel: ChannelId): void
  /** When a channel last rang in a test that a person confirmed or the receiver took. */
  rungAt(channel: ChannelId): Instant | null
  saveRing(channel: ChannelId, at: Instant): void
}

// ── The desk: what people may ask and do ────────────────────────────────────────────────────────────────────────

export type AlarmRefusal = 'noSuchAlarm' | 'earlierOccurrence' | 'notNow' | 'tooLong'
export type EditRefusal =
  | 'inUse'
  | 'noSuchParent'
  | 'noSuchPlace'
  | 'noSuchSpecies'
  | 'bandsConflict'
  | 'loop'
  | 'tooMany'
  | 'mustNotGoDown'
  | 'noSuchContact'
  | 'noSuchChannel'
  | 'noSuchPerson'
  | 'badChannel'
  | 'notReady'
  | 'badPlan'
  | 'notStored'

/** Why a sensor is not checked, or its correction neither taken nor taken back. */
export type CheckRefusal =
  | EditRefusal
  | 'noSuchSensor'
  | 'noSuchCalibration'
  | 'notCheckable'
  | 'tooLong'
  | 'badInstant'
  | 'badCorrection'
  | 'sameInstant'
  | 'tooManyCalibrations'
  | 'notNewest'

/** Why a trial run does not begin or move. */
type TrialRefusal =
  | EditRefusal
  | 'animalsDown'
  | 'alreadyRuns'
  | 'nothingRuns'
  | 'noSensor'
  | 'plugIsOut'
  | 'plugIsIn'
  | 'tooManyPlugs'

export type LinkRefusal = 'badLink' | 'oldLink'

/** A link is good for one raising of one alarm, or one ring test, until it expires; used twice it does no harm. */
export interface Answers {
  look(token: string): Outcome<AnswerNow, LinkRefusal>
  acknowledge(token: string): Outcome<AnswerNow, LinkRefusal | AlarmRefusal>
  tend(
    token: string,
    lasts: Millis,
  ): Outcome<AnswerNow, LinkRefusal | 'earlierOccurrence' | 'noSuchPlace' | 'tooLong' | 'notNow'>
  shelve(
    token: string,
    lasts: Millis,
    reason: string,
  ): Outcome<AnswerNow, LinkRefusal | AlarmRefusal | 'keeperOnly'>
  /** The test rang. */
  rang(token: string): Outcome<AnswerNow, LinkRefusal | 'noSuchChannel'>
}

/** Use cases behind the API. `by` is the signed-in person's name; every act is journalled with it. */
export interface Desk extends DiaryDesk, SeasonDesk, ReportDesk, WhatIfDesk, ImportDesk, MetricsDesk {
  tonight(): Tonight
  household(): Household
  species(): readonly SpeciesProfile[]
  connection(): Connection
  sources(): readonly Source[]

  series(
    sensor: SensorId,
    quantity: Quantity,
    from: Instant,
    to: Instant,
    columns: number,
  ): Outcome<Series, 'noSuchSensor' | 'badStretch'>
  /** One night of one place; `date` is the evening date; null for the night now running or, by day, from the last evening to now. */
  nightCurve(
    place: PlaceId,
    quantity: Quantity,
    date: string | null,
  ): Outcome<NightCurve, 'noSuchPlace' | 'badDate'>
  /** Every night of a season (`2026` or `2026/27`); null for the season now. */
  winter(
    place: PlaceId,
    quantity: Quantity,
    season: string | null,
  ): Outcome<Winter, 'noSuchPlace' | 'badSeason'>
  /** What a stretch up to now at the latest did to one place, by temperature; at most 400 days. */
  cost(place: PlaceId, from: Instant, to: Instant): Promise<Outcome<PlaceCost, 'noSuchPlace' | 'badStretch'>>
  /** How fast the animals' side follows the air, by the probe in the substrate of the last 14 days. */
  lag(place: PlaceId): Promise<Outcome<PlaceLag, 'noSuchPlace'>>

  /** How long it has until each limit if the power failed now, or if it cooled without a stop; or why that is not known. */
  outlook(place: PlaceId): Promise<Outcome<PlaceOutlook, 'noSuchPlace'>>

  /** How dry its air was up to now at the latest, and how long its coldest surface was wet; at most 31 days. */
  air(place: PlaceId, from: Instant, to: Instant): Promise<Outcome<PlaceAir, 'noSuchPlace' | 'badStretch'>>

  /** What running the place empty showed; `species` null: those that are to go down there. */
  trial(
    place: PlaceId,
    species: readonly SpeciesId[] | null,
  ): Promise<Outcome<TrialNow, 'noSuchPlace' | 'noSuchSpecies'>>
  actOnTrial(place: PlaceId, act: TrialAct, by: string): Outcome<TrialKept, TrialRefusal>

  alarms(): AlarmsNow
  journal(query: {
    readonly before?: number
    readonly limit: number
    readonly from?: Instant
    readonly alarmsOnly?: boolean
    readonly places?: readonly PlaceId[]
    readonly kinds?: readonly JournalKind[]
  }): readonly JournalLine[]

  /** `occurrence` guards against answering a later raising than the one seen; a second answer changes nothing. */
  acknowledge(alarm: AlarmId, occurrence: number, by: string): Outcome<Alarm, AlarmRefusal>
  /** At most 8 h, 1 h for high priority (A2). */
  shelve(alarm: AlarmId, lasts: Millis, reason: string, by: string): Outcome<Alarm, AlarmRefusal>
  unshelve(alarm: AlarmId, by: string): Outcome<Alarm, AlarmRefusal>
  takeOutOfService(alarm: AlarmId, reason: string, by: string): Outcome<Alarm, AlarmRefusal>
  returnToService(alarm: AlarmId, by: string): Outcome<Alarm, AlarmRefusal>
  /** "I am opening this": at most 30 min (A3); zero ends it. */
  tend(place: PlaceId, lasts: Millis, by: string): Outcome<PlaceNow, 'noSuchPlace' | 'tooLong'>

  saveHouse(house: House, by: string): Outcome<House, EditRefusal>
  savePlace(place: Place, by: string): Outcome<Place, EditRefusal>
  removePlace(place: PlaceId, by: string): Outcome<null, EditRefusal>
  /** Claiming a topic is saving a sensor that names it. */
  saveSensor(sensor: Sensor, by: string): Outcome<Sensor, EditRefusal>
  removeSensor(sensor: SensorId, by: string): Outcome<null, EditRefusal>
  /** Takes it away for a check, for at most 4 h in all; again while that runs moves its end; zero ends it. */
  checkSensor(sensor: SensorId, lasts: Millis, by: string): Outcome<Sensor, CheckRefusal>
  /** The newest readings as it said them, of the last 4 h and not before `since`. */
  rawReadings(
    sensor: SensorId,
    quantity: CalibratedQuantity,
    since: Instant,
  ): Outcome<RawReadings, 'noSuchSensor'>
  /** Adds to what others may add meanwhile. Leaves a running check time enough to put the sensor back. */
  addCalibration(sensor: SensorId, found: FoundCorrection, by: string): Outcome<Sensor, CheckRefusal>
  /** Takes the newest of its quantity back. */
  removeCalibration(
    sensor: SensorId,
    quantity: CalibratedQuantity,
    from: Instant,
    by: string,
  ): Outcome<Sensor, CheckRefusal>
  /** `anyway`: the reason for sending an animal down though the gate is shut (S1); kept in journal and diary. */
  saveAnimal(animal: Animal, by: string, anyway?: string): Outcome<Animal, EditRefusal>
  removeAnimal(animal: AnimalId, by: string): Outcome<null, EditRefusal>

  telling(): TellingNow
  /** Puts the contact in at the end of the order, or in its place; its channels stay as they are. */
  saveContact(contact: Contact, by: string): Outcome<Contact, EditRefusal>
  removeContact(contact: ContactId, by: string): Outcome<null, EditRefusal>
  /** Contacts that `order` leaves out come last, as they were. */
  saveTelling(order: readonly ContactId[], telling: Telling, by: string): Outcome<null, EditRefusal>
  saveChannel(
    contact: ContactId,
    channel: Channel,
    secret: ChannelSecret | null,
    by: string,
  ): Outcome<Channel, EditRefusal>
  removeChannel(contact: ContactId, channel: ChannelId, by: string): Outcome<null, EditRefusal>
  /** Sends the test "does this really ring?"; resolves with what came of the first try. */
  ring(
    contact: ContactId,
    channel: ChannelId,
    by: string,
  ): Promise<Outcome<MessageLine, 'noSuchContact' | 'noSuchChannel'>>
  /** Somebody heard it. */
  rang(contact: ContactId, channel: ChannelId, by: string): Outcome<null, 'noSuchContact' | 'noSuchChannel'>
  /** Newest first. */
  messages(limit: number): readonly MessageLine[]

  /** What somebody with the link in a message may see and do. */
  answers: Answers

  /** How everything is kept. */
  keeping(): KeepingNow
  /** Makes a backup now; resolves when it is made and looked through. */
  backUpNow(by: string): Promise<Outcome<BackupLine, 'alreadyRunning' | 'backupFailed'>>

  /** Notes what the doors did: signed in, failed, set up. */
  note(entry: JournalEntry): void
  /** Calls `listener` for everything that happens, after it is committed (values: as they come). Returns the way out. */
  subscribe(listener: (event: LiveEvent) => void): () => void

  /** The invented household: whether it is running, may be started (only where nothing is set up), and its switch. */
  practice(): { readonly running: boolean; readonly offered: boolean }
  /** Resolves once the change is under way; the daemon then restarts into the other household. */
  switchPractice(on: boolean, by: string): Outcome<null, 'notOffered'>
}
