import type { Alarm } from '../../schemas/alarm.ts'
import type { Message } from '../../schemas/outbox.ts'
import type { Instant } from '../../schemas/units.ts'
import { isClearOfDoubt, isInDoubt } from '../judging/in-doubt.ts'
import { withoutPace } from '../judging/thermal-words.ts'
import { type AboutAlarm, alarmPlace, alarmTitle, whatIsWrong } from './alarm-title.ts'
import { alarmHeadline } from './alarm-words.ts'
import { doubtWords } from './doubt.ts'
import { caution, firstThing } from './first-thing.ts'
import type { MessageWorld } from './message-world.ts'
import { plainMessage } from './plain-message.ts'
import { type StaysSo, staysSoWords } from './stays-so.ts'
import { clockWords, durationWords, valueWords } from './words.ts'
import { inReadersUnits } from '../words/in-readers-units.ts'
import { say } from '../words/say.ts'

/** All that a message says of one alarm (A6). */
export function alarmMessage(alarm: Alarm, what: AboutAlarm, at: Instant, world: MessageWorld): Message {
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
    title: alarmTitle(told, what, world).slice(0, 120),
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
  const where = alarmPlace(alarm, world)
  const value = world.valueNow(alarm)
  const now =
    value === null || alarm.quantity === null || alarm.kind === 'animalLimit'
      ? ''
      : say(' Now {value}.', { value: valueWords(alarm.quantity, value, world.units) })
  const text = say('{where} is all right again since {clock}. It was: {subject}.{now}', {
    where,
    clock: clockWords(at, world.timeZone),
    subject: whatIsWrong(alarm).replace(/^,? /, ''),
    now,
  })
  if (alarm.contact !== null)
    return plainMessage(
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

function animalWords(alarm: Alarm, world: MessageWorld): string[] {
  const animals = alarm.place === null ? [] : world.animalsIn(alarm.place)
  if (animals.length === 0) return []
  const names = animals.slice(0, 6).map(({ name, common }) => `${name} (${common})`)
  const more = animals.length > 6 ? say(' and {part} more', { part: animals.length - 6 }) : ''
  return [say('There: {names}{more}.', { names: names.join(', '), more })]
}
