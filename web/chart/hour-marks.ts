import { instant } from '../../schemas/amounts.ts'
import { localParts } from '../../shared/time/wall.ts'

/** Full local hours between two instants that the zone's clock can divide by `everyHours`, both ends included. */
export function hourMarks(from: number, to: number, zone: string, everyHours: number): number[] {
  const marks: number[] = []
  // Offsets of all zones in force are multiples of 15 min (IANA tz database, zones since 1972).
  for (let at = Math.ceil(from / quarterMs) * quarterMs; at <= to; at += quarterMs) {
    const { hour, minute } = localParts(instant(at), zone)
    if (minute === 0 && hour % everyHours === 0) marks.push(at)
  }
  return marks
}

const quarterMs = 15 * 60_000
