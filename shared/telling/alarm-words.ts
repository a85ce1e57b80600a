import type { Alarm } from '../../schemas/alarm.ts'
import { isInDoubt } from '../judging/in-doubt.ts'
import { valueWords, sideWords, type Units } from './words.ts'
import { reader } from '../words/reader.ts'
import { say } from '../words/say.ts'

/**
 * What is wrong, in one short sentence: `Low shelf is dangerously cold at 0.4 °C (limit 1.0 °C)`. In the past tense once
 * it has come back.
 */
export function alarmHeadline(alarm: Alarm, names: Names, units: Units = reader().units): string {
  const isOver = alarm.state.name === 'returnedUnacknowledged' || alarm.state.name === 'normal'
  const where = alarm.place === null ? '' : names.place(alarm.place)
  const inside = where === '' ? '' : say(' in {where}', { where })
  const sensor = alarm.sensor === null ? '' : names.sensor(alarm.sensor)
  switch (alarm.kind) {
    case 'limit': {
      const verb = isInDoubt(alarm)
        ? isOver
          ? say('may have been')
          : say('may be')
        : isOver
          ? say('was')
          : say('is')
      if (alarm.quantity === null || alarm.limit === null)
        return say('{where} {verb} out of its band', { where, verb })
      const value =
        alarm.value === null
          ? ''
          : say(' at {value}', { value: valueWords(alarm.quantity, alarm.value, units) })
      const threshold =
        alarm.threshold === null
          ? ''
          : say(' (limit {value})', { value: valueWords(alarm.quantity, alarm.threshold, units) })
      return `${where} ${verb} ${sideWords(alarm.quantity, alarm.limit)}${value}${threshold}`
    }
    case 'silent':
      return say('{sensor} {part} gone silent{inside}', {
        sensor,
        part: isOver ? say('had') : say('has'),
        inside,
      })
    case 'faulty':
      return say('{sensor} {part} values that cannot be right{inside}', {
        sensor,
        part: isOver ? say('sent') : say('sends'),
        inside,
      })
    case 'stuck':
      return say('{sensor} {part} not changed its value for hours{inside}', {
        sensor,
        part: isOver ? say('had') : say('has'),
        inside,
      })
    case 'unwatched':
      return say('Nobody {part} {where}: no working sensor for the animals there', {
        part: isOver ? say('watched') : say('watches'),
        where,
      })
    case 'disagreeing':
      return say('Two thermometers {part}{inside}', {
        part: isOver ? say('disagreed') : say('disagree'),
        inside,
      })
    case 'batteryLow':
      return say('The battery of {sensor} {part} nearly empty{inside}', {
        sensor,
        part: isOver ? say('was') : say('is'),
        inside,
      })
    case 'undeliverable':
      return say('{contact} {part} be reached by any channel', {
        contact: contactName(alarm.contact, names),
        part: isOver ? say('could not') : say('cannot'),
      })
    case 'animalLimit': {
      const side = alarm.limit === null ? say('out of its band') : sideWords('temperature', alarm.limit)
      const value =
        alarm.value === null
          ? ''
          : say(' at {value}', { value: valueWords('temperature', alarm.value, units) })
      const threshold =
        alarm.threshold === null
          ? ''
          : say(' (limit {value})', { value: valueWords('temperature', alarm.threshold, units) })
      return say('The animal’s side of {where} {part} {side}, estimated{value}{threshold}', {
        where,
        part: isOver ? say('was') : say('is'),
        side,
        value,
        threshold,
      })
    }
    case 'limitAhead': {
      const side = alarm.limit === null ? say('out of its band') : sideWords('temperature', alarm.limit)
      const threshold =
        alarm.threshold === null
          ? ''
          : say(' (limit {value})', { value: valueWords('temperature', alarm.threshold, units) })
      return `${where} ${isOver ? say('was going to be') : say('will soon be')} ${side}${threshold}`
    }
    case 'notCooling':
      return say('{where} {part} not cool', { where, part: isOver ? say('did') : say('does') })
    case 'alwaysCooling':
      return say('{where} {part} without a stop', { where, part: isOver ? say('cooled') : say('cools') })
    case 'drifting':
      return say('{where} {part} slowly towards a limit', {
        where,
        part: isOver ? say('drifted') : say('drifts'),
      })
    case 'doorAjar':
      return say('The door of {where} {part} ajar', {
        where,
        part: isOver ? say('stood') : say('seems to stand'),
      })
    case 'brokerLost':
      return say('No reading {part} in from any sensor: the broker {part2} lost', {
        part: isOver ? say('came') : say('comes'),
        part2: isOver ? say('was') : say('is'),
      })
    case 'sessionLost':
      return say('The broker forgot what it was to keep: readings of an outage are lost')
    case 'storeFailing':
      return say('Nothing {part} be stored; judging {part2} on from memory', {
        part: isOver ? say('could') : say('can'),
        part2: isOver ? say('went') : say('goes'),
      })
    case 'diskNearlyFull':
      return say('The disk {part} nearly full', { part: isOver ? say('was') : say('is') })
    case 'clockImplausible':
      return say('The clock of this computer {part} not to be trusted', {
        part: isOver ? say('was') : say('is'),
      })
    case 'backupFailing':
      return say('The nightly backup {part}', { part: isOver ? say('failed') : say('fails') })
    case 'stalled':
      return say('Judging stood still for a while')
    case 'databaseSetAside':
      return say('The database was damaged; Brumal goes on with what could be saved')
    default:
      return alarm.kind satisfies never
  }
}

/** What the words are about, by id: names as the keeper gave them. An id that is gone stands for itself. */
export interface Names {
  place(id: string): string
  sensor(id: string): string
  contact(id: string): string
}

/** A contact's name; `somebody` where none is known. */
export const contactName = (id: string | null, names: Names): string =>
  id === null ? say('somebody') : names.contact(id)
