import type { Calibration, CalibratedQuantity } from '../../schemas/calibration.ts'
import type { Household } from '../../schemas/household.ts'
import type { Sensor, SensorType } from '../../schemas/sensor.ts'
import { minutes } from '../../schemas/amounts.ts'
import { steadyWithin } from '../../shared/sensing/ice-point.ts'
import {
  type IceReading,
  isCreeping,
  readingsForSteady,
  windowOf,
  withReading,
} from '../../shared/sensing/ice-point-readings.ts'
import type { BudgetLine, BudgetWhat } from '../../shared/sensing/uncertainty.ts'
import { durationWords } from '../../shared/telling/words.ts'
import type { Tell } from './tell.ts'
import { say } from '../../shared/words/say.ts'

/** How readings in the bath come to rest. `name` changes seldom: it is what is read aloud. */
export interface Settling {
  readonly name: 'none' | 'few' | 'falling' | 'rising' | 'moving' | 'creeping' | 'steady'
  readonly sentence: string
}

export const settlingAloud: Readonly<Record<Settling['name'], string>> = {
  none: say('Waiting for the first reading.'),
  few: say('Readings come in.'),
  falling: say('Still falling.'),
  rising: say('Rising.'),
  moving: say('Not steady yet.'),
  creeping: say('Nearly steady.'),
  steady: say('Steady.'),
}

/** One plain sentence about the readings since the probe went in. */
export function settlingWords(readings: readonly IceReading[], type: SensorType, tell: Tell): Settling {
  const newest = readings.at(-1)
  if (newest === undefined) return { name: 'none', sentence: settlingAloud.none }
  const kelvin = (value: number): string => tell.apart(value, 'temperature')
  const within = steadyWithin(type) + rounding
  const lately = readings.filter(({ at }) => newest.at - at <= minutes(2))
  const moved = newest.raw - (lately[0] ?? newest).raw
  if (Math.abs(moved) > within) {
    const name = moved < 0 ? 'falling' : 'rising'
    const word = moved < 0 ? say('Still falling') : say('Rising')
    return {
      name,
      sentence: say('{word}: {kelvin} in the last two minutes.', { word, kelvin: kelvin(moved) }),
    }
  }
  const kept = readings.reduce<readonly IceReading[]>(withReading, [])
  const steady = windowOf(kept)
  if (steady === null) {
    const sentence = say('{kept} of {readingsForSteady} readings so far, within {kelvin}.', {
      kept: kept.length,
      readingsForSteady,
      kelvin: kelvin(spreadOf(kept)),
    })
    return { name: 'few', sentence }
  }
  const spread = kelvin(spreadOf(steady))
  const long = durationWords((steady.at(-1)?.at ?? 0) - (steady[0]?.at ?? 0))
  if (spreadOf(steady) > within)
    return {
      name: 'moving',
      sentence: say('Not steady yet: it moved by {spread} in the last {long}.', { spread, long }),
    }
  if (isCreeping(steady))
    return {
      name: 'creeping',
      sentence: say('Nearly steady: it still creeps, by {spread} in the last {long}.', { spread, long }),
    }
  return {
    name: 'steady',
    sentence: say('Steady: {steady} readings within {spread}.', { steady: steady.length, spread }),
  }
}

/** What was found, and what is done about it. */
export function foundWords(
  { offset, uncertainty, where }: { offset: number; uncertainty: number; where: string },
  quantity: CalibratedQuantity,
  tell: Tell,
): string {
  const amount = tell.apart(offset, quantity)
  const doubt = tell.apart(2 * uncertainty, quantity)
  if (amount === tell.apart(0, quantity))
    return say('It reads right {where}, ±{doubt}. Nothing is taken off or added.', { where, doubt })
  const [more, less] = quantity === 'temperature' ? [say('warm'), say('cold')] : [say('high'), say('low')]
  const side = offset < 0 ? more : less
  const act = offset < 0 ? say('taken off') : say('added')
  return say('It reads {amount} too {side} {where}, ±{doubt}. From now on {amount} is {act}.', {
    amount,
    side,
    where,
    doubt,
    act,
  })
}

/** `−0.31 K`, `× 1.013, then −0.31 K`. */
export function correctionWords(
  { gain, offset, quantity }: Pick<Calibration, 'gain' | 'offset' | 'quantity'>,
  tell: Tell,
): string {
  const added = `${offset < 0 ? '−' : '+'}${tell.apart(offset, quantity)}`
  return gain === 1 ? added : say('× {gain}, then {added}', { gain: tell.plain(gain, 3), added })
}

export const methodName: Readonly<Record<Calibration['method'], string>> = {
  icePoint: say('in ice'),
  twoPoint: say('at two points'),
  entered: say('entered'),
}

/** Who watches while it is away; `isWatched` is false where nobody does. */
export function awayWords(
  household: Pick<Household, 'places' | 'sensors'>,
  sensor: Pick<Sensor, 'id' | 'place'>,
): { readonly isWatched: boolean; readonly sentence: string } {
  const here = household.places.find(({ id }) => id === sensor.place)
  if (here === undefined)
    return {
      isWatched: true,
      sentence: say('It sits in no place: nothing is less watched while it is away.'),
    }
  const others = (place: string) =>
    household.sensors.filter(
      (other) => other.place === place && other.id !== sensor.id && other.type !== 'contact',
    )
  const mates = others(here.id).map(({ name }) => name)
  if (mates.length > 0)
    return {
      isWatched: true,
      sentence: say('While it is away {here} is watched by {mates}.', {
        here: here.name,
        mates: mates.join(', '),
      }),
    }
  for (let { parent } = here; parent !== null; ) {
    const around = household.places.find(({ id }) => id === parent)
    if (around === undefined) break
    if (others(around.id).length > 0)
      return {
        isWatched: true,
        sentence: say('While it is away {here} is judged by the sensor of {around}.', {
          here: here.name,
          around: around.name,
        }),
      }
    parent = around.parent
  }
  return {
    isWatched: false,
    sentence: say(
      'While it is away nobody watches {here}, and after 30 min that is an alarm where animals live there. Do it before the season, or lay another sensor in first.',
      { here: here.name },
    ),
  }
}

const budgetName: Readonly<Record<BudgetWhat, string>> = {
  dataSheet: say('The element'),
  calibration: say('The check'),
  resolution: say('Its steps'),
  repeatability: say('Scatter'),
  drift: say('Ageing since'),
  placement: say('Where it lies'),
  bath: say('The bath'),
}

/** `The element: up to ±0.50 K.` */
export function budgetWords(line: BudgetLine, quantity: CalibratedQuantity, tell: Tell): string {
  const name = budgetName[line.what]
  const isEven = line.distribution === 'rectangular'
  const amount = isEven ? line.halfWidth : 2 * line.standard
  // Nothing is known without any doubt, which ±0.00 would say
  if (tell.apart(amount, quantity) === tell.apart(0, quantity))
    return say('{name}: less than ±{apart}.', { name, apart: tell.apart(leastTold[quantity], quantity) })
  return `${name}: ${isEven ? say('up to ') : ''}±${tell.apart(amount, quantity)}${isEven ? '' : say(' in 95 of 100 cases')}.`
}

/** The last digit of what is told. */
const leastTold: Readonly<Record<CalibratedQuantity, number>> = { temperature: 0.01, humidity: 0.1 }

const spreadOf = (readings: readonly IceReading[]): number => {
  const raws = readings.map(({ raw }) => raw)
  return raws.length === 0 ? 0 : Math.max(...raws) - Math.min(...raws)
}

/** Sums of binary fractions, as in the check itself. */
const rounding = 1e-9
