import { sideWords } from '../../shared/telling/words.ts'
import type { Fault } from './faults.ts'
import { say } from '../../shared/words/say.ts'

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
  const probe = sensor === null ? say('sensor') : names.sensor(sensor)
  const side = (): string => (limit === null ? say('outside') : sideWords(quantity ?? 'temperature', limit))
  switch (kind) {
    case 'limit':
      return side()
    case 'animalLimit':
      return say('animals’ side {side}, estimated', { side: side() })
    case 'limitAhead':
      return say('soon {side}', { side: side() })
    case 'notCooling':
      return say('not cooling')
    case 'alwaysCooling':
      return say('cooling without a stop')
    case 'drifting':
      return say('drifting towards a limit')
    case 'doorAjar':
      return say('door ajar')
    case 'silent':
      return say('{probe} silent', { probe })
    case 'faulty':
      return say('{probe} not believable', { probe })
    case 'stuck':
      return say('{probe} stuck', { probe })
    case 'disagreeing':
      return say('thermometers disagree')
    case 'unwatched':
      return say('no working sensor')
    default:
      return kind satisfies never
  }
}
