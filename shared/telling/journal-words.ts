import type { Alarm, AlarmKind } from '../../schemas/alarm.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import { priorityWord, sideWords } from './words.ts'
import { alarmHeadline, contactName, type Names } from './alarm-words.ts'

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
    case 'coolingBegan':
      return said === '' ? `${by} began the cooling.` : `${by}:${said}`
    case 'warmingBegan':
      return said === '' ? `${by} began the warming.` : `${by}:${said}`
    case 'noted':
      return `${by} changed the diary.${said}`
    case 'databaseSetAside':
      return `The database was damaged and set aside.${said}`
    default:
      return entry.kind satisfies never
  }
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
      ...(entry.expanded === undefined ? {} : { expanded: entry.expanded }),
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

const endStopped = (text: string): string => (/[.!?]$/.test(text) ? text : `${text}.`)
