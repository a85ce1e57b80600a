import type { RoughDate } from '../../schemas/animal.ts'

/** Whether `months` have gone by on the local date `on`, whichever day of a rough date it was: its latest counts. */
export function areFull(since: RoughDate, months: number, on: string): boolean {
  const [year = '', month = '12', day = '31'] = since.split('-')
  const whole = Number(year) * 12 + Number(month) - 1 + Math.ceil(months - 1e-9)
  const due = `${String(Math.floor(whole / 12)).padStart(4, '0')}-${String((whole % 12) + 1).padStart(2, '0')}`
  // A day that its month has not is full on the first of the next: as text, `02-30` comes before `03-01`.
  return `${due}-${day}` <= on
}
