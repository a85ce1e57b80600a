import type { Alarm } from '../../schemas/alarm.ts'
import { isInDoubt } from '../judging/in-doubt.ts'
import { valueWords, sideWords, type Units } from './words.ts'

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

/** What the words are about, by id: names as the keeper gave them. An id that is gone stands for itself. */
export interface Names {
  place(id: string): string
  sensor(id: string): string
  contact(id: string): string
}

/** A contact's name; `somebody` where none is known. */
export const contactName = (id: string | null, names: Names): string =>
  id === null ? 'somebody' : names.contact(id)
