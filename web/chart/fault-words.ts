import { sideWords } from '../../shared/telling/words.ts'
import type { Fault } from './faults.ts'

/** Who is meant by an id, on the page. */
export interface NamesHere {
  /** The place whose curve it is: it needs no name. */
  readonly here: string
  place(id: string): string
  sensor(id: string): string
}

/** What stood, in a few words: `dangerously cold`, `not cooling (Larder fridge)`. */
export function faultWords(fault: Fault, names: NamesHere): string {
  const { place } = fault
  const where = place === names.here ? '' : ` (${names.place(place)})`
  return `${whatWords(fault, names)}${where}`
}

function whatWords({ kind, quantity, limit, sensor }: Fault, names: NamesHere): string {
  const probe = sensor === null ? 'sensor' : names.sensor(sensor)
  const side = (): string => (limit === null ? 'outside' : sideWords(quantity ?? 'temperature', limit))
  switch (kind) {
    case 'limit':
      return side()
    case 'animalLimit':
      return `animals’ side ${side()}, estimated`
    case 'limitAhead':
      return `soon ${side()}`
    case 'notCooling':
      return 'not cooling'
    case 'alwaysCooling':
      return 'cooling without a stop'
    case 'drifting':
      return 'drifting towards a limit'
    case 'doorAjar':
      return 'door ajar'
    case 'silent':
      return `${probe} silent`
    case 'faulty':
      return `${probe} not believable`
    case 'stuck':
      return `${probe} stuck`
    case 'disagreeing':
      return 'thermometers disagree'
    case 'unwatched':
      return 'no working sensor'
    default:
      return kind satisfies never
  }
}
