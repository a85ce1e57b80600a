import type { Alarm } from '../../schemas/alarm.ts'
import type { AnimalNow } from '../../schemas/api.ts'
import type { Priority } from '../../schemas/band.ts'
import type { Message } from '../../schemas/outbox.ts'
import type { PlaceKind } from '../../schemas/place.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { isConditionOut } from '../judging/alarm.ts'
import { withoutPace } from '../judging/thermal-words.ts'
import { isClearOfDoubt, isInDoubt } from '../judging/in-doubt.ts'
import { doubtWords } from './doubt.ts'
import type { Say } from './escalation.ts'
import { caution, firstThing } from './first-thing.ts'
import { type StaysSo, staysSoWords } from './stays-so.ts'
import { alarmHeadline, type Names } from './alarm-words.ts'
import { durationWords, sideWords, type Units, valueWords } from './words.ts'
import { inReadersUnits } from '../words/in-readers-units.ts'
import { clockOf } from '../words/reader.ts'
import { say } from '../words/say.ts'

/** What a message is made from besides the alarm itself. */
export interface MessageWorld {
  readonly names: Names
  readonly kindOf: (place: string) => PlaceKind | null
  /** Animals in a place and in everything inside it. */
  readonly animalsIn: (place: string) => readonly Pick<AnimalNow, 'name' | 'common'>[]
  /** The newest believed value that the alarm is about, or null. */
  readonly valueNow: (alarm: Alarm) => number | null
  /** At the pace of the last half hour, how long until the critical limit on that side; null where it is not coming. */
  readonly untilDanger: (alarm: Alarm) => Millis | null
  /** When it is dangerous if its cooling stays as it is, from what was learnt of the place; null where that is not known. */
  readonly staysSo?: (alarm: Alarm) => StaysSo | null
  readonly units: Units
  /** The contact's own. */
  readonly timeZone: string
  readonly household: string
  /** Opens the alarm, signed; null where the daemon knows no address of its own. */
  readonly linkTo: (alarm: Alarm | null) => string | null
  readonly acknowledgeLinkTo: (alarm: Alarm) => string | null
  /** Opens what is to be done today. */
  readonly dayLink?: string
  /** Says that this test rang. */
  readonly ringLink: (isAtOnce: boolean) => string | null
  /** The invented household: every title says so. */
  readonly isPractice: boolean
}

/** The words that go out (A6): what, where, which animals, value and limit, since when, what to do first, and a link. */
export function compose(saying: Say, world: MessageWorld): Message {
  const message = composed(saying, world)
  return world.isPractice
    ? { ...message, title: say('Practice: {title}', { title: message.title }).slice(0, 120) }
    : message
}

function composed(saying: Say, world: MessageWorld): Message {
  const [alarm] = saying.alarms
  switch (saying.what) {
    case 'ring':
      return {
        ...plain(
          say('Brumal rings'),
          say(
            'This is the test that you asked for: an alarm of {household} would reach you here. Did it ring aloud, through silence and sleep mode? Then say so with the link.',
            { household: world.household },
          ),
          'high',
          world.ringLink(false),
        ),
        acknowledgeLink: world.ringLink(true),
      }
    case 'summary':
      return plain(
        say('Good morning from Brumal'),
        summaryWords(saying, world),
        'low',
        saying.alarms.length === 0 && world.dayLink !== undefined ? world.dayLink : world.linkTo(null),
      )
    case 'flood':
      return plain(
        say('{alarms} alarms at once', { alarms: saying.alarms.length }),
        `${listed(say('More than ten alarms in ten minutes; this one message stands for all. The worst:'), { ...saying, alarms: worstFirst(saying.alarms).slice(0, 5) }, world)}\n${caution}`,
        worstFirst(saying.alarms)[0]?.priority ?? 'high',
        world.linkTo(null),
      )
    case 'floodOver':
      return plain(
        saying.alarms.length === 0
          ? say('Over: the many alarms')
          : say('Fewer alarms now: {alarms} still stand', { alarms: saying.alarms.length }),
        saying.alarms.length === 0
          ? say('None of them stands any more without an answer.')
          : `${listed(say('Nobody has answered these yet:'), { ...saying, alarms: worstFirst(saying.alarms) }, world)}\n${caution}`,
        worstFirst(saying.alarms)[0]?.priority ?? 'low',
        world.linkTo(null),
      )
    case 'raised':
    case 'again':
    case 'chattering':
    case 'returned':
      if (alarm === undefined) throw new Error(`A message of kind ${saying.what} needs an alarm.`)
      return about(alarm, saying.what, saying.at, world)
    default:
      return saying.what satisfies never
  }
}

type About = 'raised' | 'again' | 'chattering' | 'returned'

function about(alarm: Alarm, what: About, at: Instant, world: MessageWorld): Message {
  if (what === 'returned') return over(alarm, at, world)
  const since = 'since' in alarm.state ? alarm.state.since : null
  const value = world.valueNow(alarm)
  // The newest value is the air's: of the animal's side, reckoned, it says nothing.
  const isReckoned = alarm.kind === 'animalLimit' || alarm.kind === 'limitAhead'
  const isNewer = value !== null && value !== alarm.value && alarm.quantity !== null && !isReckoned
  // Whether it is past the limit itself is said of the newest value: what was in doubt may be so no more.
  const newer = isInDoubt(alarm) && isNewer ? { ...alarm, value } : alarm
  const told = isClearOfDoubt(newer) ? alarm : newer
  const staysSo = staysSoOf(alarm, world)
  const lines = [
    `${alarmHeadline(told, world.names, world.units)}.`,
    ...(isInDoubt(told) ? [doubtWords(newer, world.units)] : []),
    ...textOf(alarm, staysSo).map((text) => inReadersUnits(text, world.units)),
    ...(isNewer && told === alarm && alarm.quantity !== null
      ? [say('Now {value}.', { value: valueWords(alarm.quantity, value, world.units) })]
      : []),
    ...(told === newer ? dangerWords(told, staysSo, world) : [say('It may be so again: go and look.')]),
    ...(since === null
      ? []
      : [
          say('Since {clock}, {duration} ago.', {
            clock: clockWords(since, world.timeZone),
            duration: durationWords(at - since),
          }),
        ]),
    ...(what === 'chattering'
      ? [say('It comes and goes: three times within a minute. The next ten minutes are quiet.')]
      : []),
    ...animalWords(alarm, world),
    say('First: {firstThing}', {
      firstThing: firstThing(alarm, alarm.place === null ? null : world.kindOf(alarm.place)),
    }),
    caution,
  ]
  return {
    title: titleOf(told, what, world).slice(0, 120),
    text: lines.join('\n').slice(0, 2000),
    priority: alarm.priority,
    link: world.linkTo(alarm),
    acknowledgeLink: world.acknowledgeLinkTo(alarm),
  }
}

/** An alarm that says that a limit is ahead is not told together with a reckoning that sees none. */
function staysSoOf(alarm: Alarm, world: MessageWorld): StaysSo | null {
  const known = world.staysSo?.(alarm) ?? null
  return alarm.kind === 'limitAhead' && known?.time.likely === null ? null : known
}

/** What the alarm said when it was raised, but for how long it thought that there was, where that is now known better. */
function textOf({ kind, text }: Alarm, staysSo: StaysSo | null): string[] {
  if (text === undefined) return []
  if (staysSo === null) return [text]
  if (kind === 'limitAhead') return []
  return [withoutPace(text)]
}

/** When it will be dangerous, or that it is. */
function dangerWords(alarm: Alarm, staysSo: StaysSo | null, world: MessageWorld): string[] {
  const isCritical = alarm.limit === 'lowCritical' || alarm.limit === 'highCritical'
  if (alarm.kind === 'animalLimit') return [say('This is dangerous now: go and look.')]
  if (alarm.kind === 'limit' && isCritical)
    return [
      isInDoubt(alarm)
        ? say('This may be dangerous now: go and look.')
        : say('This is dangerous now: go and look.'),
    ]
  if (staysSo !== null) return [staysSoWords(staysSo, world.units)]
  if (alarm.kind !== 'limit') return []
  const left = world.untilDanger(alarm)
  return left === null
    ? []
    : [say('At this pace it is dangerous in about {duration}.', { duration: durationWords(left) })]
}

function over(alarm: Alarm, at: Instant, world: MessageWorld): Message {
  const where = placeOf(alarm, world)
  const value = world.valueNow(alarm)
  const now =
    value === null || alarm.quantity === null || alarm.kind === 'animalLimit'
      ? ''
      : say(' Now {value}.', { value: valueWords(alarm.quantity, value, world.units) })
  const text = say('{where} is all right again since {clock}. It was: {subject}.{now}', {
    where,
    clock: clockWords(at, world.timeZone),
    subject: subject(alarm).replace(/^,? /, ''),
    now,
  })
  if (alarm.contact !== null)
    return plain(
      say('{where} can be reached again', { where }),
      say('Since {clock} messages reach {where} again.', { clock: clockWords(at, world.timeZone), where }),
      'low',
      world.linkTo(alarm),
    )
  return {
    title: say('Over: {where}', { where }).slice(0, 120),
    text,
    priority: 'low',
    link: world.linkTo(alarm),
    acknowledgeLink: null,
  }
}

function titleOf(alarm: Alarm, what: About, world: MessageWorld): string {
  const opening: Record<Priority, string> = {
    high: 'ALARM',
    medium: say('Look soon'),
    low: say('Note #title'),
  }
  const still = what === 'again' ? say(', still') : what === 'chattering' ? say(', on and off') : ''
  const value =
    alarm.value === null || alarm.quantity === null
      ? ''
      : ` ${valueWords(alarm.quantity, alarm.value, world.units)}`
  return `${opening[alarm.priority]}${still}: ${placeOf(alarm, world)}${value}${subject(alarm)}`
}

const placeOf = (alarm: Alarm, world: MessageWorld): string =>
  alarm.place !== null
    ? world.names.place(alarm.place)
    : alarm.sensor !== null
      ? world.names.sensor(alarm.sensor)
      : alarm.contact !== null
        ? world.names.contact(alarm.contact)
        : world.household

function subject(alarm: Alarm): string {
  if (alarm.kind === 'limit')
    return alarm.quantity === null || alarm.limit === null
      ? ''
      : `, ${isInDoubt(alarm) ? say('perhaps ') : ''}${sideWords(alarm.quantity, alarm.limit)}`
  const side = alarm.limit === null ? say('out of its band') : sideWords('temperature', alarm.limit)
  const words = {
    animalLimit: say(', animal’s side {side} (estimated)', { side }),
    limitAhead: say(', soon {side}', { side }),
    notCooling: say(', does not cool'),
    alwaysCooling: say(', cools without a stop'),
    drifting: say(', drifts towards a limit'),
    doorAjar: say(', door ajar'),
    silent: say(', sensor silent'),
    faulty: say(', sensor not believable'),
    stuck: say(', sensor stuck'),
    unwatched: say(', nobody watches'),
    undeliverable: say(' cannot be reached'),
    disagreeing: say(', thermometers disagree'),
    batteryLow: say(', battery low'),
    brokerLost: say(', no readings come in'),
    sessionLost: say(', readings lost with the broker'),
    storeFailing: say(', nothing can be stored'),
    diskNearlyFull: say(', disk nearly full'),
    clockImplausible: say(', clock not to be trusted'),
    backupFailing: say(', backup fails'),
    stalled: say(', judging stood still'),
    databaseSetAside: say(', database damaged and set aside'),
  }
  return words[alarm.kind]
}

function animalWords(alarm: Alarm, world: MessageWorld): string[] {
  const animals = alarm.place === null ? [] : world.animalsIn(alarm.place)
  if (animals.length === 0) return []
  const names = animals.slice(0, 6).map(({ name, common }) => `${name} (${common})`)
  const more = animals.length > 6 ? say(' and {part} more', { part: animals.length - 6 }) : ''
  return [say('There: {names}{more}.', { names: names.join(', '), more })]
}

/** What was of low priority, then what is to be done: advice, so with its caution (S6). */
function summaryWords(saying: Say, world: MessageWorld): string {
  const { alarms, tasks = [] } = saying
  return [
    ...(alarms.length > 0 ? [listed(say('In the night, none of it urgent:'), saying, world)] : []),
    ...(tasks.length > 0 ? [say('Today:'), ...tasks.map((task) => `– ${task}`), caution] : []),
  ].join('\n')
}

function listed(opening: string, saying: Say, world: MessageWorld): string {
  const lines = saying.alarms
    .slice(0, 20)
    .map(
      (alarm) =>
        `– ${alarmHeadline(alarm, world.names, world.units)}${isConditionOut(alarm.state) ? '' : say(', over')}`,
    )
  const more = saying.alarms.length > 20 ? [say('and {part} more.', { part: saying.alarms.length - 20 })] : []
  return [opening, ...lines, ...more].join('\n').slice(0, 1800)
}

const rank: Record<Priority, number> = { high: 0, medium: 1, low: 2 }
const worstFirst = (alarms: readonly Alarm[]): readonly Alarm[] =>
  [...alarms].sort((one, other) => rank[one.priority] - rank[other.priority])

/** `03:12`, `3:12 AM`, in the contact's own zone; with the day when it was not today is for screens, not for three in the morning. */
export const clockWords = (at: Instant, timeZone: string): string => clockOf(at, timeZone)

function plain(title: string, text: string, priority: Priority, link: string | null): Message {
  return { title: title.slice(0, 120), text: text.slice(0, 2000), priority, link, acknowledgeLink: null }
}
