import type { Alarm, AlarmKind } from '../../schemas/alarm.ts'
import { hours, minutes } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'

/** Longest shelving: 8 h, 1 h for high priority (A2). */
export const longestShelving = (alarm: Alarm): Millis => (alarm.priority === 'high' ? hours(1) : hours(8))

/** Longest tending (A3). */
export const longestTending: Millis = minutes(30)

/**
 * Whether tending may hide this alarm: an open door, what follows from it, and limits of the high side; the cold side
 * never is (A2, A3).
 */
export function isSuppressible({ kind, limit }: Alarm): boolean {
  if (kind === 'doorAjar' || kind === 'notCooling') return true
  const isLimit = kind === 'limit' || kind === 'animalLimit' || kind === 'limitAhead'
  return isLimit && (limit === 'high' || limit === 'highCritical')
}

/**
 * Whether this alarm puts the animals' safety in doubt; the others are about people and about the daemon itself. What a
 * curve says of a fridge is about them from medium on (L12).
 */
export const isAboutAnimals = ({ kind, priority }: Alarm): boolean =>
  !aboutOurselves.includes(kind) && !(priority === 'low' && aboutFridges.includes(kind))

const aboutFridges: readonly AlarmKind[] = [
  'limitAhead',
  'notCooling',
  'alwaysCooling',
  'drifting',
  'doorAjar',
]

const aboutOurselves: readonly AlarmKind[] = [
  'batteryLow',
  'undeliverable',
  'sessionLost',
  'storeFailing',
  'diskNearlyFull',
  'clockImplausible',
  'backupFailing',
  'stalled',
  'databaseSetAside',
]
