import type { Alarm, AlarmKind } from '../../schemas/alarm.ts'
import { hours, minutes } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'

/** Longest shelving: 8 h, 1 h for high priority (A2). */
export const longestShelving = (alarm: Alarm): Millis => (alarm.priority === 'high' ? hours(1) : hours(8))

/** Longest tending (A3). */
export const longestTending: Millis = minutes(30)

/** Whether tending may hide this alarm: high-side limits only; the cold side never is (A2, A3). */
export const isSuppressible = (alarm: Alarm): boolean =>
  alarm.kind === 'limit' && (alarm.limit === 'high' || alarm.limit === 'highCritical')

/** Whether this alarm puts the animals' safety in doubt; the others are about people and about the daemon itself. */
export const isAboutAnimals = ({ kind }: Alarm): boolean => !aboutOurselves.includes(kind)

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
