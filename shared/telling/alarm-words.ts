import type { Alarm } from '../../schemas/alarm.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { isInDoubt } from '../judging/in-doubt.ts'
import { valueWords, sideWords, type Units } from './words.ts'
import { reader } from '../words/reader.ts'
import { say } from '../words/say.ts'

/**
 * What is wrong, in one short sentence: `Low shelf is dangerously cold at 0.4 °C (limit 1.0 °C)`. In the past tense once
 * it has come back.
 */
export function alarmHeadline(alarm: Alarm, names: Names, units: Units = reader().units): string {
  const isOver = hasComeBack(alarm)
  const where = alarm.place === null ? '' : names.place(alarm.place)
  const inside = where === '' ? '' : say(' in {where}', { where })
  const sensor = alarm.sensor === null ? '' : names.sensor(alarm.sensor)
  switch (alarm.kind) {
    case 'limit':
      return alarm.quantity === null || alarm.limit === null
        ? asItStands(alarm, where, say('out of its band'))
        : asItStands(
            alarm,
            where,
            sideWords(alarm.quantity, alarm.limit) + figures(alarm, alarm.quantity, units),
          )
    case 'silent':
      return isOver
        ? say('{sensor} had gone silent{inside}', { sensor, inside })
        : say('{sensor} has gone silent{inside}', { sensor, inside })
    case 'faulty':
      return isOver
        ? say('{sensor} sent values that cannot be right{inside}', { sensor, inside })
        : say('{sensor} sends values that cannot be right{inside}', { sensor, inside })
    case 'stuck':
      return isOver
        ? say('{sensor} had not changed its value for hours{inside}', { sensor, inside })
        : say('{sensor} has not changed its value for hours{inside}', { sensor, inside })
    case 'unwatched':
      return isOver
        ? say('Nobody watched {where}: no working sensor for the animals there', { where })
        : say('Nobody watches {where}: no working sensor for the animals there', { where })
    case 'disagreeing':
      return isOver
        ? say('Two thermometers disagreed{inside}', { inside })
        : say('Two thermometers disagree{inside}', { inside })
    case 'batteryLow':
      return isOver
        ? say('The battery of {sensor} was nearly empty{inside}', { sensor, inside })
        : say('The battery of {sensor} is nearly empty{inside}', { sensor, inside })
    case 'undeliverable': {
      const contact = contactName(alarm.contact, names)
      return isOver
        ? say('{contact} could not be reached by any channel', { contact })
        : say('{contact} cannot be reached by any channel', { contact })
    }
    case 'animalLimit': {
      const given = {
        where,
        side: alarm.limit === null ? say('out of its band') : sideWords('temperature', alarm.limit),
        figures: figures(alarm, 'temperature', units),
      }
      return isOver
        ? say('The animal’s side of {where} was {side}, estimated{figures}', given)
        : say('The animal’s side of {where} is {side}, estimated{figures}', given)
    }
    case 'limitAhead': {
      const side =
        (alarm.limit === null ? say('out of its band') : sideWords('temperature', alarm.limit)) +
        figures({ ...alarm, value: null }, 'temperature', units)
      return isOver
        ? say('{where} was going to be {side}', { where, side })
        : say('{where} will soon be {side}', { where, side })
    }
    case 'notCooling':
      return isOver ? say('{where} did not cool', { where }) : say('{where} does not cool', { where })
    case 'alwaysCooling':
      return isOver
        ? say('{where} cooled without a stop', { where })
        : say('{where} cools without a stop', { where })
    case 'drifting':
      return isOver
        ? say('{where} drifted slowly towards a limit', { where })
        : say('{where} drifts slowly towards a limit', { where })
    case 'doorAjar':
      return isOver
        ? say('The door of {where} stood ajar', { where })
        : say('The door of {where} seems to stand ajar', { where })
    case 'brokerLost':
      return isOver
        ? say('No reading came in from any sensor: the broker was lost')
        : say('No reading comes in from any sensor: the broker is lost')
    case 'sessionLost':
      return say('The broker forgot what it was to keep: readings of an outage are lost')
    case 'storeFailing':
      return isOver
        ? say('Nothing could be stored; judging went on from memory')
        : say('Nothing can be stored; judging goes on from memory')
    case 'diskNearlyFull':
      return isOver ? say('The disk was nearly full') : say('The disk is nearly full')
    case 'clockImplausible':
      return isOver
        ? say('The clock of this computer was not to be trusted')
        : say('The clock of this computer is not to be trusted')
    case 'backupFailing':
      return isOver ? say('The nightly backup failed') : say('The nightly backup fails')
    case 'stalled':
      return say('Judging stood still for a while')
    case 'databaseSetAside':
      return say('The database was damaged; Brumal goes on with what could be saved')
    default:
      return alarm.kind satisfies never
  }
}

const hasComeBack = ({ state }: Alarm): boolean =>
  state.name === 'returnedUnacknowledged' || state.name === 'normal'

/** `side` is what the place is: too cold at so much. */
function asItStands(alarm: Alarm, where: string, side: string): string {
  if (isInDoubt(alarm))
    return hasComeBack(alarm)
      ? say('{where} may have been {side}', { where, side })
      : say('{where} may be {side}', { where, side })
  return hasComeBack(alarm)
    ? say('{where} was {side}', { where, side })
    : say('{where} is {side}', { where, side })
}

/** ` at 0.4 °C (limit 1.0 °C)`, as far as it is known. */
function figures({ value, threshold }: Alarm, quantity: Quantity, units: Units): string {
  const at = value === null ? '' : say(' at {value}', { value: valueWords(quantity, value, units) })
  const limit =
    threshold === null ? '' : say(' (limit {value})', { value: valueWords(quantity, threshold, units) })
  return at + limit
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
