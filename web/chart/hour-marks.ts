/** Full local hours between two instants that the zone's clock can divide by `everyHours`, both ends included. */
export function hourMarks(from: number, to: number, zone: string, everyHours: number): number[] {
  const clock = new Intl.DateTimeFormat('en-GB', {
    hour: 'numeric',
    minute: 'numeric',
    hourCycle: 'h23',
    timeZone: zone,
  })
  const marks: number[] = []
  // Offsets of all zones in force are multiples of 15 min (IANA tz database, zones since 1972).
  for (let at = Math.ceil(from / quarterMs) * quarterMs; at <= to; at += quarterMs) {
    const parts = clock.formatToParts(at)
    const part = (type: string): number => Number(parts.find((one) => one.type === type)?.value)
    if (part('minute') === 0 && part('hour') % everyHours === 0) marks.push(at)
  }
  return marks
}

const quarterMs = 15 * 60_000
