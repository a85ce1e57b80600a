import type { Alarm } from '../../schemas/alarm.ts'
import type { AnimalNow } from '../../schemas/api.ts'
import type { PlaceKind } from '../../schemas/place.ts'
import type { Millis } from '../../schemas/units.ts'
import type { Names } from './alarm-words.ts'
import type { StaysSo } from './stays-so.ts'
import type { Units } from './words.ts'

/** What a message is made from besides the alarm itself. */
export interface MessageWorld {
  readonly names: Names
  readonly kindOf: (place: string) => PlaceKind | null
  /** Animals in a place and in everything inside it. */
  readonly animalsIn: (place: string) => readonly Pick<AnimalNow, 'name' | 'common'>[]
  /** The newest believed value that the alarm is about, or null. */
  readonly valueNow: (alarm: Alarm) => number | null
  /** At the pace of the last half hour, how long until the critical limit on that side; null where it is not coming. */
  readonly untilDanger: (alarm: Alarm) => Millis | null
  /** When it is dangerous if its cooling stays as it is, from what was learnt of the place; null where that is not known. */
  readonly staysSo?: (alarm: Alarm) => StaysSo | null
  readonly units: Units
  /** The contact's own. */
  readonly timeZone: string
  readonly household: string
  /** Opens the alarm, signed; null where the daemon knows no address of its own. */
  readonly linkTo: (alarm: Alarm | null) => string | null
  readonly acknowledgeLinkTo: (alarm: Alarm) => string | null
  /** Opens what is to be done today. */
  readonly dayLink?: string
  /** Says that this test rang. */
  readonly ringLink: (isAtOnce: boolean) => string | null
  /** The invented household: every title says so. */
  readonly isPractice: boolean
}
