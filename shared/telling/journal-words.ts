import type { Alarm, AlarmKind } from '../../schemas/alarm.ts'
import type { Priority } from '../../schemas/band.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import { sideWords } from './words.ts'
import { alarmHeadline, contactName, type Names } from './alarm-words.ts'
import { say } from '../words/say.ts'

/** One line of the journal as a sentence without its time. */
export function journalSentence(entry: JournalEntry, names: Names): string {
  const about = subjectWords(entry, names)
  const said = entry.text === undefined ? '' : ` ${endStopped(entry.text)}`
  const by = entry.by
  switch (entry.kind) {
    case 'raised':
      return raisedSentence(entry.priority ?? 'low', {
        endStopped: endStopped(raisedWords(entry, names)),
        said,
      })
    case 'returned':
      return say('Back to normal: {endStopped}{said}', { endStopped: endStopped(about), said })
    case 'acknowledged':
      return say('{by} acknowledged: {endStopped}', { by, endStopped: endStopped(about) })
    case 'shelved':
      return say('{by} shelved: {endStopped} Reason: {endStopped2}', {
        by,
        endStopped: endStopped(about),
        endStopped2: endStopped(entry.text ?? say('none given')),
      })
    case 'unshelved':
      return by === 'brumal'
        ? say('The shelving ended: {endStopped}', { endStopped: endStopped(about) })
        : say('{by} ended the shelving: {endStopped}', { by, endStopped: endStopped(about) })
    case 'suppressed':
      return say('Hidden while {by} tends the place: {endStopped}', { by, endStopped: endStopped(about) })
    case 'unsuppressed':
      return say('No longer hidden by tending: {endStopped}', { endStopped: endStopped(about) })
    case 'tookOutOfService':
      return say('{by} took out of service: {endStopped} Reason: {endStopped2}', {
        by,
        endStopped: endStopped(about),
        endStopped2: endStopped(entry.text ?? say('none given')),
      })
    case 'returnedToService':
      return say('{by} returned to service: {endStopped}', { by, endStopped: endStopped(about) })
    case 'told':
      return say('Told {contact}.{said}', { contact: contactName(entry.contact ?? null, names), said })
    case 'notTold':
      return say('Could not tell {contact}.{said}', {
        contact: contactName(entry.contact ?? null, names),
        said,
      })
    case 'channelGone':
      return say('A way to reach {contact} is gone and was removed.{said}', {
        contact: contactName(entry.contact ?? null, names),
        said,
      })
    case 'rang':
      return say('{by} heard the test for {contact} ring.{said}', {
        by,
        contact: contactName(entry.contact ?? null, names),
        said,
      })
    case 'doorOpened':
      return say('The door of {part} was opened.{said}', {
        part: entry.place === undefined ? say('a fridge') : names.place(entry.place),
        said,
      })
    case 'clockFault':
      return say('The clock of {about} is wrong.{said}', { about, said })
    case 'tending':
      return say('{by} began to tend {about}.', { by, about })
    case 'tended':
      return by === 'brumal'
        ? say('The tending of {about} ran out.', { about })
        : say('{by} finished tending {about}.', { by, about })
    case 'changed':
      return say('{by} changed the household.{said}', { by, said })
    case 'claimed':
      return say('{by} claimed {about}.{said}', { by, about, said })
    case 'setUp':
      return say('{by} set up this house.', { by })
    case 'signedIn':
      return say('{by} signed in.', { by })
    case 'signInFailed':
      return say('Somebody failed to sign in.{said}', { said })
    case 'signedOut':
      return say('{by} ended a sign-in.{said}', { by, said })
    case 'invited':
      return say('{by} invited somebody.{said}', { by, said })
    case 'joined':
      return say('{by} came in by an invitation.', { by })
    case 'accessChanged':
      return say('{by} changed who may come in.{said}', { by, said })
    case 'passwordChanged':
      return say('{by} changed a password.{said}', { by, said })
    case 'started':
      return say('Brumal started.{said}', { said })
    case 'stopped':
      return say('Brumal stopped.{said}', { said })
    case 'brokerUp':
      return say('The broker is reached.{said}', { said })
    case 'brokerDown':
      return say('The broker is lost.{said}', { said })
    case 'clockSet':
      return say('The clock was set.{said}', { said })
    case 'notKept':
      return say('Readings could not be kept.{said}', { said })
    case 'thinned':
      return say('Old readings were thinned.{said}', { said })
    case 'backedUp':
      return by === 'brumal'
        ? say('Backed up.{said}', { said })
        : say('{by} made a backup.{said}', { by, said })
    case 'coolingBegan':
      return said === '' ? say('{by} began the cooling.', { by }) : `${by}:${said}`
    case 'warmingBegan':
      return said === '' ? say('{by} began the warming.', { by }) : `${by}:${said}`
    case 'noted':
      return say('{by} changed the diary.{said}', { by, said })
    case 'databaseSetAside':
      return say('The database was damaged and set aside.{said}', { said })
    default:
      return entry.kind satisfies never
  }
}

function raisedSentence(priority: Priority, given: Readonly<Record<'endStopped' | 'said', string>>): string {
  switch (priority) {
    case 'low':
      return say('Low alarm: {endStopped}{said}', given)
    case 'medium':
      return say('Medium alarm: {endStopped}{said}', given)
    case 'high':
      return say('High alarm: {endStopped}{said}', given)
    default:
      return priority satisfies never
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
    limit:
      entry.quantity && entry.limit
        ? say('{where} {side}', { where, side: sideWords(entry.quantity, entry.limit) })
        : where,
    silent: say('{sensor} silent', { sensor }),
    faulty: say('{sensor} not believable', { sensor }),
    stuck: say('{sensor} stuck', { sensor }),
    unwatched: say('{where} unwatched', { where }),
    disagreeing: say('thermometers in {where} disagreeing', { where }),
    batteryLow: say('battery of {sensor} low', { sensor }),
    undeliverable: say('{contact} out of reach', { contact: contactName(entry.contact ?? null, names) }),
    animalLimit: entry.limit
      ? say('animal’s side of {where} {side}, estimated', {
          where,
          side: sideWords('temperature', entry.limit),
        })
      : say('animal’s side of {where}', { where }),
    limitAhead: entry.limit
      ? say('{where} soon {side}', { where, side: sideWords('temperature', entry.limit) })
      : where,
    notCooling: say('{where} not cooling', { where }),
    alwaysCooling: say('{where} cooling without a stop', { where }),
    drifting: say('{where} drifting towards a limit', { where }),
    doorAjar: say('door of {where} ajar', { where }),
    brokerLost: say('broker lost'),
    sessionLost: say('broker forgot us'),
    storeFailing: say('storing fails'),
    diskNearlyFull: say('disk nearly full'),
    clockImplausible: say('clock not to be trusted'),
    backupFailing: say('backup fails'),
    stalled: say('judging stood still'),
    databaseSetAside: say('database damaged'),
  }
  return what[entry.alarmKind]
}

const endStopped = (text: string): string => (/[.!?]$/.test(text) ? text : `${text}.`)
