import type { Alarm, AlarmKind } from '../../schemas/alarm.ts'
import type { Band, BandLimit, LimitName, Priority } from '../../schemas/band.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Phase } from '../../schemas/species.ts'
import { unitOf } from '../../schemas/unit-of.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Quality } from '../../schemas/reading.ts'
import { isInDoubt } from '../judging/in-doubt.ts'

/** What the words are about, by id: names as the keeper gave them. An id that is gone stands for itself. */
export interface Names {
  place(id: string): string
  sensor(id: string): string
  contact(id: string): string
}

export const priorityWord: Record<Priority, string> = { low: 'Low', medium: 'Medium', high: 'High' }

export const phaseWord: Record<Phase, string> = {
  feedUp: 'feeding up',
  fast: 'fasting',
  coolDown: 'cooling down',
  hold: 'in hold',
  warmUp: 'warming up',
  awake: 'awake',
}

export const qualityWords: Record<Exclude<Quality, 'good'>, string> = {
  outOfRange: 'outside what this sensor can measure',
  spike: 'a jump that no second reading has confirmed',
  stuck: 'the same value for too long',
  powerOn: 'the value shown before a first conversion',
  busOpen: 'the value of a broken wire',
  busLow: 'the value of a shorted line',
  saturated: 'the end of the sensor’s scale',
  openCircuit: 'the value of a disconnected probe',
  checking: 'its sensor is being checked',
}

export type Units = 'celsius' | 'fahrenheit'

/** A value with its unit, as written on every screen and in every message: `−0.6 °C`, `84 %RH`, `open`. */
export function valueWords(quantity: Quantity, value: number, units: Units = 'celsius'): string {
  if (quantity === 'door') return value >= 1 ? 'open' : 'closed'
  if (quantity === 'power') return value >= 1 ? 'present' : 'absent'
  const isFahrenheit = quantity === 'temperature' && units === 'fahrenheit'
  const digits = quantity === 'temperature' ? 1 : quantity === 'voltage' ? 2 : 0
  const shown = isFahrenheit ? value * 1.8 + 32 : value
  // A value that rounds to minus nothing is written as nothing.
  const rounded = Number(shown.toFixed(digits)) === 0 ? 0 : shown
  return `${rounded.toFixed(digits).replace('-', '−')} ${isFahrenheit ? '°F' : unitOf[quantity]}`
}

/** A length of time in the two largest units that matter: `45 s`, `12 min`, `3 h 20 min`, `2 d 4 h`. */
export function durationWords(ms: number): string {
  const s = Math.max(0, Math.round(ms / 1000))
  if (s < 60) return `${s} s`
  const min = Math.round(s / 60)
  if (min < 60) return `${min} min`
  const h = Math.floor(min / 60)
  if (h < 24) return min % 60 === 0 ? `${h} h` : `${h} h ${min % 60} min`
  const d = Math.floor(h / 24)
  return h % 24 === 0 ? `${d} d` : `${d} d ${h % 24} h`
}

/** `1.0 °C or below`, `above 8.0 °C`. */
export function limitWords(
  quantity: Quantity,
  name: LimitName,
  limit: Pick<BandLimit, 'value' | 'inclusive'>,
): string {
  const low = name === 'lowCritical' || name === 'low'
  const value = valueWords(quantity, limit.value)
  if (limit.inclusive) return `${value} or ${low ? 'below' : 'above'}`
  return `${low ? 'below' : 'above'} ${value}`
}

/** The safe range in one phrase: `safe between 3.0 and 7.0 °C`; empty when nothing is limited. */
export function bandWords(quantity: Quantity, band: Band): string {
  const low = band.low ?? band.lowCritical
  const high = band.high ?? band.highCritical
  if (low !== null && high !== null)
    return `safe between ${valueWords(quantity, low.value).split(' ')[0]} and ${valueWords(quantity, high.value)}`
  if (low !== null) return `safe above ${valueWords(quantity, low.value)}`
  if (high !== null) return `safe below ${valueWords(quantity, high.value)}`
  return ''
}

/**
 * What is wrong, in one short sentence: `Low shelf is dangerously cold at 0.4 °C (limit 1.0 °C)`. In the past tense once
 * it has come back.
 */
export function alarmHeadline(alarm: Alarm, names: Names, units: Units = 'celsius'): string {
  const isOver = alarm.state.name === 'returnedUnacknowledged' || alarm.state.name === 'normal'
  const where = alarm.place === null ? '' : names.place(alarm.place)
  const inside = where === '' ? '' : ` in ${where}`
  const sensor = alarm.sensor === null ? '' : names.sensor(alarm.sensor)
  switch (alarm.kind) {
    case 'limit': {
      const verb = isInDoubt(alarm) ? (isOver ? 'may have been' : 'may be') : isOver ? 'was' : 'is'
      if (alarm.quantity === null || alarm.limit === null) return `${where} ${verb} out of its band`
      const value = alarm.value === null ? '' : ` at ${valueWords(alarm.quantity, alarm.value, units)}`
      const threshold =
        alarm.threshold === null ? '' : ` (limit ${valueWords(alarm.quantity, alarm.threshold, units)})`
      return `${where} ${verb} ${sideWords(alarm.quantity, alarm.limit)}${value}${threshold}`
    }
    case 'silent':
      return `${sensor} ${isOver ? 'had' : 'has'} gone silent${inside}`
    case 'faulty':
      return `${sensor} ${isOver ? 'sent' : 'sends'} values that cannot be right${inside}`
    case 'stuck':
      return `${sensor} ${isOver ? 'had' : 'has'} not changed its value for hours${inside}`
    case 'unwatched':
      return `Nobody ${isOver ? 'watched' : 'watches'} ${where}: no working sensor for the animals there`
    case 'disagreeing':
      return `Two thermometers ${isOver ? 'disagreed' : 'disagree'}${inside}`
    case 'batteryLow':
      return `The battery of ${sensor} ${isOver ? 'was' : 'is'} nearly empty${inside}`
    case 'undeliverable':
      return `${contactName(alarm.contact, names)} ${isOver ? 'could not' : 'cannot'} be reached by any channel`
    case 'animalLimit': {
      const side = alarm.limit === null ? 'out of its band' : sideWords('temperature', alarm.limit)
      const value = alarm.value === null ? '' : ` at ${valueWords('temperature', alarm.value, units)}`
      const threshold =
        alarm.threshold === null ? '' : ` (limit ${valueWords('temperature', alarm.threshold, units)})`
      return `The animal’s side of ${where} ${isOver ? 'was' : 'is'} ${side}, estimated${value}${threshold}`
    }
    case 'limitAhead': {
      const side = alarm.limit === null ? 'out of its band' : sideWords('temperature', alarm.limit)
      const threshold =
        alarm.threshold === null ? '' : ` (limit ${valueWords('temperature', alarm.threshold, units)})`
      return `${where} ${isOver ? 'was going to be' : 'will soon be'} ${side}${threshold}`
    }
    case 'notCooling':
      return `${where} ${isOver ? 'did' : 'does'} not cool`
    case 'alwaysCooling':
      return `${where} ${isOver ? 'cooled' : 'cools'} without a stop`
    case 'drifting':
      return `${where} ${isOver ? 'drifted' : 'drifts'} slowly towards a limit`
    case 'doorAjar':
      return `The door of ${where} ${isOver ? 'stood' : 'seems to stand'} ajar`
    case 'brokerLost':
      return `No reading ${isOver ? 'came' : 'comes'} in from any sensor: the broker ${isOver ? 'was' : 'is'} lost`
    case 'sessionLost':
      return 'The broker forgot what it was to keep: readings of an outage are lost'
    case 'storeFailing':
      return `Nothing ${isOver ? 'could' : 'can'} be stored; judging ${isOver ? 'went' : 'goes'} on from memory`
    case 'diskNearlyFull':
      return `The disk ${isOver ? 'was' : 'is'} nearly full`
    case 'clockImplausible':
      return `The clock of this computer ${isOver ? 'was' : 'is'} not to be trusted`
    case 'backupFailing':
      return `The nightly backup ${isOver ? 'failed' : 'fails'}`
    case 'stalled':
      return 'Judging stood still for a while'
    case 'databaseSetAside':
      return 'The database was damaged; Brumal goes on with what could be saved'
    default:
      return alarm.kind satisfies never
  }
}

/** One line of the journal as a sentence without its time. */
export function journalSentence(entry: JournalEntry, names: Names): string {
  const about = subjectWords(entry, names)
  const said = entry.text === undefined ? '' : ` ${endStopped(entry.text)}`
  const by = entry.by
  switch (entry.kind) {
    case 'raised':
      return `${priorityWord[entry.priority ?? 'low']} alarm: ${endStopped(raisedWords(entry, names))}${said}`
    case 'returned':
      return `Back to normal: ${endStopped(about)}${said}`
    case 'acknowledged':
      return `${by} acknowledged: ${endStopped(about)}`
    case 'shelved':
      return `${by} shelved: ${endStopped(about)} Reason: ${endStopped(entry.text ?? 'none given')}`
    case 'unshelved':
      return by === 'brumal'
        ? `The shelving ended: ${endStopped(about)}`
        : `${by} ended the shelving: ${endStopped(about)}`
    case 'suppressed':
      return `Hidden while ${by} tends the place: ${endStopped(about)}`
    case 'unsuppressed':
      return `No longer hidden by tending: ${endStopped(about)}`
    case 'tookOutOfService':
      return `${by} took out of service: ${endStopped(about)} Reason: ${endStopped(entry.text ?? 'none given')}`
    case 'returnedToService':
      return `${by} returned to service: ${endStopped(about)}`
    case 'told':
      return `Told ${contactName(entry.contact ?? null, names)}.${said}`
    case 'notTold':
      return `Could not tell ${contactName(entry.contact ?? null, names)}.${said}`
    case 'channelGone':
      return `A way to reach ${contactName(entry.contact ?? null, names)} is gone and was removed.${said}`
    case 'rang':
      return `${by} heard the test for ${contactName(entry.contact ?? null, names)} ring.${said}`
    case 'doorOpened':
      return `The door of ${entry.place === undefined ? 'a fridge' : names.place(entry.place)} was opened.${said}`
    case 'clockFault':
      return `The clock of ${about} is wrong.${said}`
    case 'tending':
      return `${by} began to tend ${about}.`
    case 'tended':
      return by === 'brumal' ? `The tending of ${about} ran out.` : `${by} finished tending ${about}.`
    case 'changed':
      return `${by} changed the household.${said}`
    case 'claimed':
      return `${by} claimed ${about}.${said}`
    case 'setUp':
      return `${by} set up this house.`
    case 'signedIn':
      return `${by} signed in.`
    case 'signInFailed':
      return `Somebody failed to sign in.${said}`
    case 'signedOut':
      return `${by} ended a sign-in.${said}`
    case 'invited':
      return `${by} invited somebody.${said}`
    case 'joined':
      return `${by} came in by an invitation.`
    case 'accessChanged':
      return `${by} changed who may come in.${said}`
    case 'passwordChanged':
      return `${by} changed a password.${said}`
    case 'started':
      return `Brumal started.${said}`
    case 'stopped':
      return `Brumal stopped.${said}`
    case 'brokerUp':
      return `The broker is reached.${said}`
    case 'brokerDown':
      return `The broker is lost.${said}`
    case 'clockSet':
      return `The clock was set.${said}`
    case 'notKept':
      return `Readings could not be kept.${said}`
    case 'thinned':
      return `Old readings were thinned.${said}`
    case 'backedUp':
      return by === 'brumal' ? `Backed up.${said}` : `${by} made a backup.${said}`
    case 'databaseSetAside':
      return `The database was damaged and set aside.${said}`
    default:
      return entry.kind satisfies never
  }
}

export function sideWords(quantity: Quantity, limit: LimitName): string {
  if (quantity === 'humidity') {
    const words = {
      lowCritical: 'dangerously dry',
      low: 'too dry',
      high: 'too damp',
      highCritical: 'dangerously damp',
    }
    return words[limit]
  }
  if (quantity === 'temperature') {
    const words = {
      lowCritical: 'dangerously cold',
      low: 'too cold',
      high: 'too warm',
      highCritical: 'dangerously warm',
    }
    return words[limit]
  }
  const words = { lowCritical: 'far too low', low: 'too low', high: 'too high', highCritical: 'far too high' }
  return `${words[limit]} in ${quantity}`
}

function raisedWords(entry: JournalEntry, names: Names): string {
  if (entry.alarmKind === undefined) return subjectWords(entry, names)
  return alarmHeadline(
    {
      id: entry.alarm as Alarm['id'],
      kind: entry.alarmKind,
      place: entry.place ?? null,
      sensor: entry.sensor ?? null,
      contact: entry.contact ?? null,
      quantity: entry.quantity ?? null,
      limit: entry.limit ?? null,
      priority: entry.priority ?? 'low',
      occurrence: 1,
      value: entry.value ?? null,
      threshold: entry.threshold ?? null,
      ...(entry.guarded === undefined ? {} : { guarded: entry.guarded }),
      state: { name: 'unacknowledged', since: entry.at },
    },
    names,
  )
}

/** What a line is about, without figures: `Low shelf, dangerously cold`. */
function subjectWords(entry: JournalEntry, names: Names): string {
  const where = entry.place === undefined ? '' : names.place(entry.place)
  const sensor = entry.sensor === undefined ? '' : names.sensor(entry.sensor)
  if (entry.alarmKind === undefined) return sensor === '' ? where : sensor
  const what: Record<AlarmKind, string> = {
    limit: entry.quantity && entry.limit ? `${where} ${sideWords(entry.quantity, entry.limit)}` : where,
    silent: `${sensor} silent`,
    faulty: `${sensor} not believable`,
    stuck: `${sensor} stuck`,
    unwatched: `${where} unwatched`,
    disagreeing: `thermometers in ${where} disagreeing`,
    batteryLow: `battery of ${sensor} low`,
    undeliverable: `${contactName(entry.contact ?? null, names)} out of reach`,
    animalLimit: entry.limit
      ? `animal’s side of ${where} ${sideWords('temperature', entry.limit)}, estimated`
      : `animal’s side of ${where}`,
    limitAhead: entry.limit ? `${where} soon ${sideWords('temperature', entry.limit)}` : where,
    notCooling: `${where} not cooling`,
    alwaysCooling: `${where} cooling without a stop`,
    drifting: `${where} drifting towards a limit`,
    doorAjar: `door of ${where} ajar`,
    brokerLost: 'broker lost',
    sessionLost: 'broker forgot us',
    storeFailing: 'storing fails',
    diskNearlyFull: 'disk nearly full',
    clockImplausible: 'clock not to be trusted',
    backupFailing: 'backup fails',
    stalled: 'judging stood still',
    databaseSetAside: 'database damaged',
  }
  return what[entry.alarmKind]
}

const contactName = (id: string | null, names: Names): string =>
  id === null ? 'somebody' : names.contact(id)

const endStopped = (text: string): string => (/[.!?]$/.test(text) ? text : `${text}.`)
