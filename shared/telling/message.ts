import type { Message } from '../../schemas/outbox.ts'
import { alarmMessage } from './alarm-message.ts'
import { floodMessage, floodOverMessage, summaryMessage } from './many-alarms.ts'
import type { MessageWorld } from './message-world.ts'
import { plainMessage } from './plain-message.ts'
import type { Say } from './telling-state.ts'
import { say } from '../words/say.ts'

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
        ...plainMessage(
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
      return summaryMessage(saying, world)
    case 'flood':
      return floodMessage(saying, world)
    case 'floodOver':
      return floodOverMessage(saying, world)
    case 'raised':
    case 'again':
    case 'chattering':
    case 'returned':
      if (alarm === undefined) throw new Error(`A message of kind ${saying.what} needs an alarm.`)
      return alarmMessage(alarm, saying.what, saying.at, world)
    default:
      return saying.what satisfies never
  }
}
