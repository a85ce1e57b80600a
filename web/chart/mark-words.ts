import type { NightCurve } from '../../schemas/api.ts'
import type { Tell } from '../words/tell.ts'
import { faultWords, type NamesHere } from './fault-words.ts'
import { faultsAt, isCooling, type Marks } from './marks.ts'
import { say } from '../../shared/words/say.ts'

/** How the animals' line is called; by its sensor's name too where there are several. */
export function animalName(curve: NightCurve, { animals }: Marks, n: number): string {
  if (animals.length < 2) return say('Animals (estimated)')
  const sensor = curve.series.find((one) => one.sensor === animals[n]?.sensor)
  return say('Animals by {part} (estimated)', { part: sensor?.sensorName ?? 'air' })
}

/** What is marked at an instant: `cooling · door opened · dangerously cold`. */
export function marksAt(marks: Marks, at: number, names: NamesHere): string {
  const isOpen = marks.doors.some(
    ({ at: from, until = from }) => from <= at + doorReach && at - doorReach <= until,
  )
  return [
    ...(marks.runs.length === 0 ? [] : [isCooling(marks.runs, at) ? say('cooling') : say('resting')]),
    ...(isOpen ? [say('door opened')] : []),
    ...faultsAt(marks.faults, at).map((fault) => faultWords(fault, names)),
  ].join(' · ')
}

/** A door open for seconds lies between two readings, ms. */
const doorReach = 60_000

/** `02:10 to 03:40`, `since 02:10`, `until 03:40`: by the clock, for all of it lies in one night or the day since. */
export function stretchWords(
  { from, to }: { readonly from: number | null; readonly to: number | null },
  whole: { readonly from: number },
  tell: Tell,
  zone: string,
): string {
  const isBefore = from === null || from < whole.from
  const end = to === null ? null : tell.clock(to, zone)
  if (isBefore) return end === null ? say('since before this night') : say('until {end}', { end })
  const begin = tell.clock(from, zone)
  return end === null
    ? say('since {begin}', { begin })
    : begin === end
      ? begin
      : say('{begin} to {end}', { begin, end })
}
