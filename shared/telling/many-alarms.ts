import type { Alarm } from '../../schemas/alarm.ts'
import type { Priority } from '../../schemas/band.ts'
import type { Message } from '../../schemas/outbox.ts'
import { isConditionOut } from '../judging/alarm.ts'
import { alarmHeadline } from './alarm-words.ts'
import { caution } from './first-thing.ts'
import type { MessageWorld } from './message-world.ts'
import { plainMessage } from './plain-message.ts'
import type { Say } from './telling-state.ts'
import { say } from '../words/say.ts'

/** In the morning, what waited for it: one message for all alarms of low priority and all tasks. */
export function summaryMessage(saying: Say, world: MessageWorld): Message {
  return plainMessage(
    say('Good morning from Brumal'),
    summaryWords(saying, world),
    'low',
    saying.alarms.length === 0 && world.dayLink !== undefined ? world.dayLink : world.linkTo(null),
  )
}

/** More alarms than anybody can read stand in one message (A5). */
export function floodMessage(saying: Say, world: MessageWorld): Message {
  return plainMessage(
    say('{alarms} alarms at once', { alarms: saying.alarms.length }),
    `${listed(say('More than ten alarms in ten minutes; this one message stands for all. The worst:'), { ...saying, alarms: worstFirst(saying.alarms).slice(0, 5) }, world)}\n${caution}`,
    worstFirst(saying.alarms)[0]?.priority ?? 'high',
    world.linkTo(null),
  )
}

/** The flood is over, and what of it still stands. */
export function floodOverMessage(saying: Say, world: MessageWorld): Message {
  return plainMessage(
    saying.alarms.length === 0
      ? say('Over: the many alarms')
      : say('Fewer alarms now: {alarms} still stand', { alarms: saying.alarms.length }),
    saying.alarms.length === 0
      ? say('None of them stands any more without an answer.')
      : `${listed(say('Nobody has answered these yet:'), { ...saying, alarms: worstFirst(saying.alarms) }, world)}\n${caution}`,
    worstFirst(saying.alarms)[0]?.priority ?? 'low',
    world.linkTo(null),
  )
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
