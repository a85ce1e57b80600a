import type { Desk } from '../../daemon/ports/desk.ts'
import type { EditRefusal } from '../../daemon/ports/household.ts'
import type { Outcome } from '../../daemon/ports/outcome.ts'
import type { Alarm, AlarmState } from '../../schemas/alarm.ts'
import type { House, JournalLine, LiveEvent, Night, PlaceNow, Tonight, ValueNow } from '../../schemas/api.ts'
import { Household } from '../../schemas/household.ts'
import type { AlarmId, PersonId, PlaceId, SensorId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Place } from '../../schemas/place.ts'
import type { Reading } from '../../schemas/reading.ts'
import type { Source } from '../../schemas/source.ts'
import { SpeciesProfile } from '../../schemas/species.ts'
import { costNow } from '../../daemon/app/place-cost.ts'
import { unknownOutlook } from '../../shared/thermal/outlook-unknown.ts'
import { noCost } from '../../shared/season/winter-cost.ts'
import { celsius, hours, instant, later, millis, minutes } from '../../schemas/amounts.ts'
import { emptyStrip } from '../../schemas/winter-strip.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { makeChecks } from '../../daemon/app/checks.ts'
import { metricsForHttp } from './metrics-for-http.ts'
import { type AnswersForHttp, answersForHttp } from './answers-for-http.ts'
import { dayForHttp } from './day-for-http.ts'
import { diaryForHttp } from './diary-for-http.ts'
import { type KeepingForHttp, keepingForHttp } from './keeping-for-http.ts'
import { profilesForHttp } from './profiles-for-http.ts'
import { reportsForHttp } from './reports-for-http.ts'
import { seasonForHttp } from './season-for-http.ts'
import { type TellingForHttp, tellingForHttp } from './telling-for-http.ts'
import { trialsForHttp } from './trials-for-http.ts'
import { importsForHttp } from './imports-for-http.ts'
import { whatIfForHttp } from './what-if-for-http.ts'

/** What no answer to a sitter may hold: the bind key in the household below and the sensors' password. */
export const bindKey = '231d39c1d7cc1ab1aee224cd096db932'
export const sensorsPassword = 'the-sensors-own-password'

export interface DeskForHttp extends Desk {
  readonly keepAs: KeepingForHttp['keepAs']
  readonly answers: AnswersForHttp
  readonly channelSecrets: TellingForHttp['channelSecrets']
  /** An alarm goes off in the cellar fridge, once more each time. */
  raise(alarm: AlarmId): Alarm
  hear(value: ValueNow): void
  readonly listeners: ReadonlySet<(event: LiveEvent) => void>
  readonly journalled: readonly JournalLine[]
  /** The next question fails as a bug would. */
  breakOnce(error: Error): void
}

/**
 * A desk that keeps what it is told in memory: it edits, answers alarms, journals, tells its contacts and its listeners.
 */
export function deskForHttp(now: () => Instant, isPerson: (id: PersonId) => boolean): DeskForHttp {
  let household = aHousehold()
  let practice = false
  let failure: Error | null = null
  const journal: JournalLine[] = []
  const alarms = new Map<AlarmId, Alarm>()
  const tended = new Map<PlaceId, Instant>()
  const readings: Reading[] = []
  const values = new Map<string, ValueNow>()
  const listeners = new Set<(event: LiveEvent) => void>()

  const tell = (event: LiveEvent) => {
    for (const listener of [...listeners]) listener(event)
  }
  const note = (entry: JournalEntry) => {
    const line = { ...entry, id: journal.length + 1 }
    journal.push(line)
    tell({ kind: 'journal', line })
  }
  const done = (kind: JournalEntry['kind'], by: string, text: string, about: Partial<JournalEntry> = {}) => {
    note({ at: now(), kind, by, text, ...about })
    tell({ kind: 'tonight' })
  }
  const refused = <Code extends string>(error: Code, sentence: string) =>
    ({ ok: false, error, sentence }) as const
  const accepted = <Value>(value: Value) => ({ ok: true, value }) as const
  const hasPlace = (id: PlaceId | null) => id === null || household.places.some((place) => place.id === id)
  const put = <Item extends { readonly id: string }>(items: readonly Item[], item: Item): Item[] => [
    ...items.filter(({ id }) => id !== item.id),
    item,
  ]
  const answer = (
    id: AlarmId,
    by: string,
    kind: JournalEntry['kind'],
    next: (alarm: Alarm) => AlarmState | null,
  ) => {
    const alarm = alarms.get(id)
    if (alarm === undefined) return refused('noSuchAlarm', `There is no alarm ${id}.`)
    const state = next(alarm)
    if (state === null) return refused('notNow', 'The alarm is not in a state for this.')
    const changed = { ...alarm, state }
    alarms.set(id, changed)
    note({ at: now(), kind, by, alarm: id })
    tell({ kind: 'alarm', alarm: changed, at: now() })
    return accepted(changed)
  }
  const night = (date: string): Night => {
    const from = instant(Date.parse(`${date}T20:00:00Z`))
    return { date, from, to: later(from, hours(12)) }
  }
  const tonightDate = () => new Date(now() - hours(8)).toISOString().slice(0, 10)
  const broker = () =>
    ({
      kind: 'embedded',
      name: 'up',
      sentence: 'Sensors may come.',
      since: instant(0),
      retryAt: null,
    }) as const
  const placeNow = (place: Place): PlaceNow => ({
    id: place.id,
    name: place.name,
    kind: place.kind,
    parent: place.parent,
    timeZone: place.timeZone ?? household.timeZone,
    animals: [],
    judgedBy: place.id,
    values: [...values.values()].filter(
      ({ sensor }) => household.sensors.find(({ id }) => id === sensor)?.place === place.id,
    ),
    bands: {},
    standing: 'idle',
    priority: null,
    alarms: [...alarms.values()].filter((alarm) => alarm.place === place.id).map(({ id }) => id),
    tendedUntil: tended.get(place.id) ?? null,
    remarks: [],
  })

  const desk: DeskForHttp = {
    ...diaryForHttp({
      household: () => household,
      clock: { now, uptime: () => millis(0) },
      note,
      publish: tell,
    }),
    ...seasonForHttp({
      household: () => household,
      save: (next) => void (household = next),
      now,
      done,
    }),
    ...reportsForHttp({ household: () => household, now }),
    ...dayForHttp(),
    ...whatIfForHttp(() => household),
    ...importsForHttp(
      now,
      () => household,
      (next) => {
        household = next
      },
    ),
    ...profilesForHttp({
      household: () => household,
      save: (next) => void (household = next),
      done,
    }),
    ...tellingForHttp({
      household: () => household,
      save: (next) => void (household = next),
      now,
      isPerson,
      done,
    }),
    ...keepingForHttp({ now, done }),
    ...metricsForHttp({
      now,
      desk: () => desk,
      values: () => [...values.values()],
      heard: () => readings.length,
    }),
    ...trialsForHttp({
      household: () => household,
      save: (next) => void (household = next),
      now,
      done,
    }),
    answers: answersForHttp({ desk: () => desk, now }),
    listeners,
    journalled: journal,
    breakOnce: (error) => {
      failure = error
    },
    raise(id) {
      const alarm: Alarm = {
        id,
        kind: 'limit',
        place: 'fridge' as PlaceId,
        sensor: null,
        contact: null,
        quantity: 'temperature',
        limit: 'lowCritical',
        priority: 'high',
        occurrence: (alarms.get(id)?.occurrence ?? 0) + 1,
        value: 0.4,
        threshold: 1,
        state: { name: 'unacknowledged', since: now() },
      }
      alarms.set(id, alarm)
      note({ at: now(), kind: 'raised', by: 'brumal', alarm: id, value: 0.4, threshold: 1 })
      tell({ kind: 'alarm', alarm, at: now() })
      return alarm
    },
    hear(value) {
      values.set(`${value.sensor} ${value.quantity}`, value)
      readings.push({ sensor: value.sensor, quantity: value.quantity, at: value.at, value: value.value })
      const place = household.sensors.find(({ id }) => id === value.sensor)?.place ?? null
      tell({ kind: 'value', place, value })
    },

    tonight(): Tonight {
      if (failure !== null) {
        const thrown = failure
        failure = null
        throw thrown
      }
      const standing = [...alarms.values()]
      return {
        at: now(),
        standing: standing.length > 0 ? 'out' : 'empty',
        sentence: standing.length > 0 ? 'The cellar fridge is too cold.' : 'No animals yet.',
        household: household.name,
        practice,
        night: night(tonightDate()),
        broker: broker(),
        places: household.places.map(placeNow),
        alarms: standing,
      }
    },
    household: () => household,
    species: () => [toad, ...household.profiles],
    connection: () => ({
      broker: broker(),
      host: '192.168.1.20',
      port: 1883,
      user: 'sensors',
      password: sensorsPassword,
      topic: 'brumal/in/<device>',
      tryLine: 'mosquitto_pub -t brumal/in/probe -m 5',
    }),
    sources: (): readonly Source[] => [
      {
        topic: 'shed/probe',
        claimedBy: [],
        heard: 3,
        refused: { notJson: 1 },
        lastAt: now(),
        sample: '{"t":5}',
        found: [{ channel: '', quantity: 'temperature', value: 5, at: null }],
        lastRefusal: null,
      },
    ],

    series(sensor, quantity, from, to, columns) {
      if (!household.sensors.some(({ id }) => id === sensor))
        return refused('noSuchSensor', 'No such sensor.')
      if (from >= to) return refused('badStretch', 'The stretch ends before it begins.')
      const found = readings
        .filter((one) => one.sensor === sensor && one.quantity === quantity && one.at >= from && one.at < to)
        .slice(0, columns)
      const value = found.map((one) => one.value)
      return accepted({
        sensor,
        quantity,
        resolution: 'readings',
        columns: { at: found.map(({ at }) => at), low: value, mean: value, high: value },
        bad: [],
      })
    },
    nightCurve(place, quantity, date) {
      if (!hasPlace(place)) return refused('noSuchPlace', 'No such place.')
      const which = date ?? tonightDate()
      if (which > tonightDate()) return refused('badDate', 'That night is still to come.')
      const none = { at: [], lowCritical: [], low: [], high: [], highCritical: [] }
      return accepted({ place, quantity, night: night(which), band: none, series: [], before: [] })
    },
    winter(place, quantity, season) {
      if (!hasPlace(place)) return refused('noSuchPlace', 'No such place.')
      if (season !== null && season !== '2026/27')
        return refused('badSeason', 'Nothing is known of that season.')
      return accepted({
        place,
        quantity,
        season: '2026/27',
        seasons: ['2026/27'],
        nights: [],
        strip: emptyStrip,
      })
    },
    async cost(place, from, to) {
      await Promise.resolve()
      if (!hasPlace(place)) return refused('noSuchPlace', 'No such place.')
      if (from >= to) return refused('badStretch', 'The stretch ends before it begins.')
      const rules = { holds: minutes(10), reference: celsius(5), nights: [] }
      const nothing = { least: noCost, most: noCost }
      return accepted(costNow(nothing, { place, sensor: null, from, to, rules }))
    },
    async lag(place) {
      await Promise.resolve()
      if (!hasPlace(place)) return refused('noSuchPlace', 'No such place.')
      return accepted({ isKnown: false, why: 'noProbe', sentence: 'Not known yet.' })
    },
    async outlook(place) {
      await Promise.resolve()
      if (!hasPlace(place)) return refused('noSuchPlace', 'No such place.')
      const unknown = unknownOutlook('noStretch')
      const nothing = { now: null, room: null, from: null, holdOver: null }
      return accepted({ place, at: now(), ...nothing, powerFails: unknown, stuckOn: unknown })
    },
    async air(place, from, to) {
      await Promise.resolve()
      if (!hasPlace(place)) return refused('noSuchPlace', 'No such place.')
      if (from >= to) return refused('badStretch', 'The stretch ends before it begins.')
      const nothing = { humidity: null, temperature: null, meanDeficit: null, drying: 0, wetting: null }
      const none = minutes(0)
      return accepted({ place, from, to, ...nothing, known: none, unknown: none, fromHours: none })
    },

    alarms: () => ({ standing: [...alarms.values()], journal: journal.slice(-50).reverse() }),
    journal: ({ before = Number.POSITIVE_INFINITY, limit, alarmsOnly = false, from = 0, places, kinds }) =>
      journal
        .filter((line) => line.id < before && (!alarmsOnly || line.alarm !== undefined) && line.at >= from)
        .filter((line) => places === undefined || (line.place !== undefined && places.includes(line.place)))
        .filter((line) => kinds === undefined || kinds.includes(line.kind))
        .reverse()
        .slice(0, limit),

    acknowledge(id, occurrence, by) {
      const alarm = alarms.get(id)
      if (alarm !== undefined && occurrence !== alarm.occurrence)
        return refused('earlierOccurrence', 'It was raised again since.')
      if (alarm?.state.name === 'acknowledged') return accepted(alarm)
      return answer(id, by, 'acknowledged', ({ state }) =>
        state.name === 'unacknowledged'
          ? { name: 'acknowledged', since: state.since, by, acknowledgedAt: now() }
          : null,
      )
    },
    shelve(id, lasts, reason, by) {
      if (alarms.has(id) && lasts > hours(1)) return refused('tooLong', 'At most one hour.')
      const until = later(now(), lasts)
      return answer(id, by, 'shelved', () => ({
        name: 'shelved',
        until,
        by,
        reason,
        out: true,
        since: now(),
      }))
    },
    unshelve: (id, by) =>
      answer(id, by, 'unshelved', ({ state }) =>
        state.name === 'shelved' ? { name: 'unacknowledged', since: now() } : null,
      ),
    takeOutOfService: (id, reason, by) =>
      answer(id, by, 'tookOutOfService', () => ({
        name: 'outOfService',
        by,
        reason,
        at: now(),
        out: true,
        since: now(),
      })),
    returnToService: (id, by) =>
      answer(id, by, 'returnedToService', ({ state }) =>
        state.name === 'outOfService' ? { name: 'unacknowledged', since: now() } : null,
      ),
    tend(id, lasts: Millis, by) {
      const place = household.places.find((one) => one.id === id)
      if (place === undefined) return refused('noSuchPlace', 'No such place.')
      if (lasts > minutes(30)) return refused('tooLong', 'At most 30 min.')
      if (lasts === 0) tended.delete(id)
      else tended.set(id, later(now(), lasts))
      done(lasts === 0 ? 'tended' : 'tending', by, place.name, { place: id })
      return accepted(placeNow(place))
    },

    saveHouse(house: House, by) {
      household = { ...household, ...house }
      done('changed', by, 'house')
      return accepted(house)
    },
    savePlace(place, by): Outcome<Place, EditRefusal> {
      if (!hasPlace(place.parent)) return refused('noSuchParent', 'No such parent.')
      if (place.parent === place.id) return refused('loop', 'A place cannot be inside itself.')
      household = { ...household, places: put(household.places, place) }
      done('changed', by, place.name)
      return accepted(place)
    },
    removePlace(id, by) {
      if (!hasPlace(id)) return refused('noSuchPlace', 'No such place.')
      if (household.sensors.some(({ place }) => place === id)) return refused('inUse', 'Sensors are in it.')
      household = { ...household, places: household.places.filter((place) => place.id !== id) }
      done('changed', by, id)
      return accepted(null)
    },
    saveSensor(sensor, by) {
      if (!hasPlace(sensor.place)) return refused('noSuchPlace', 'No such place.')
      household = { ...household, sensors: put(household.sensors, sensor) }
      done('claimed', by, sensor.name)
      return accepted(sensor)
    },
    removeSensor(id: SensorId, by) {
      household = { ...household, sensors: household.sensors.filter((sensor) => sensor.id !== id) }
      done('changed', by, id)
      return accepted(null)
    },
    ...makeChecks({
      house: { catchUp: () => undefined },
      store: {
        readings: (sensor, quantity, from, to) =>
          readings
            .filter((one) => one.sensor === sensor && one.quantity === quantity)
            .filter(({ at }) => at >= from && at < to)
            .map((one) => ({ ...one, quality: 'good' })),
      },
      clock: { now, uptime: () => millis(now()) },
      household: () => household,
      save(next, by, text, about) {
        household = next
        note({ at: now(), kind: 'changed', by, text, ...about })
        tell({ kind: 'tonight' })
        return { ok: true }
      },
    }),
    saveAnimal(animal, by, anyway) {
      if (animal.species !== toad.id) return refused('noSuchSpecies', 'No such species.')
      if (!hasPlace(animal.place)) return refused('noSuchPlace', 'No such place.')
      household = { ...household, animals: put(household.animals, animal) }
      done('changed', by, anyway === undefined ? animal.name : `${animal.name}, though untested: ${anyway}`)
      return accepted(animal)
    },
    removeAnimal(id, by) {
      household = { ...household, animals: household.animals.filter((animal) => animal.id !== id) }
      done('changed', by, id)
      return accepted(null)
    },

    note,
    subscribe(listener) {
      listeners.add(listener)
      return () => void listeners.delete(listener)
    },
    practice: () => ({ running: practice, offered: household.animals.length === 0 }),
    switchPractice(on, by) {
      if (on && household.animals.length > 0) return refused('notOffered', 'This household has animals.')
      practice = on
      done('changed', by, on ? 'practice starts' : 'practice ends')
      return accepted(null)
    },
  }
  return desk
}

const toad = SpeciesProfile.parse({
  id: 'bufo-bufo',
  latin: 'Bufo bufo',
  common: 'common toad',
  taxon: 'frog',
  winter: 'deep',
  weak: false,
  active: { temperature: [] },
})

const aHousehold = (): Household =>
  Household.parse({
    version: 1,
    name: 'Under the stairs',
    timeZone: 'Europe/Vienna',
    places: [{ id: 'fridge', name: 'Cellar fridge', kind: 'fridge' }],
    sensors: [
      {
        id: 'probe-1',
        name: 'Probe one',
        place: 'fridge',
        topic: 'cellar/probe',
        decoder: { kind: 'bthome', key: bindKey, mac: '5448e68f80a5' },
      },
    ],
  })
