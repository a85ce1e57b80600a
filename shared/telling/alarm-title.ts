import type { Alarm } from '../../schemas/alarm.ts'
import type { Priority } from '../../schemas/band.ts'
import { isInDoubt } from '../judging/in-doubt.ts'
import type { MessageWorld } from './message-world.ts'
import { sideWords, valueWords } from './words.ts'
import { say } from '../words/say.ts'

/** Why a message about one alarm goes out. */
export type AboutAlarm = 'raised' | 'again' | 'chattering' | 'returned'

/** What a locked phone shows: how urgent, where, the value, and in a word or two what is wrong. */
export function alarmTitle(alarm: Alarm, what: AboutAlarm, world: MessageWorld): string {
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
  return `${opening[alarm.priority]}${still}: ${alarmPlace(alarm, world)}${value}${whatIsWrong(alarm)}`
}

/** The name of the place, sensor or contact that an alarm is about, or else of the household. */
export const alarmPlace = (alarm: Alarm, world: MessageWorld): string =>
  alarm.place !== null
    ? world.names.place(alarm.place)
    : alarm.sensor !== null
      ? world.names.sensor(alarm.sensor)
      : alarm.contact !== null
        ? world.names.contact(alarm.contact)
        : world.household

/** In a word or two, as it goes on after a value: `, too cold`. */
export function whatIsWrong(alarm: Alarm): string {
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
