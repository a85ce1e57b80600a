import { indexFrom, type Rows } from './rows.ts'

/** Unfolded readings of one series in one clock hour: ascending and unique in `at`, each with its place in arrival. */
export interface HotHour extends Rows {
  length: number
  at: Float64Array
  value: Float64Array
  quality: Uint8Array
  seq: Float64Array
}

export function hotHour(): HotHour {
  return { length: 0, ...columnsFor(firstCapacity) }
}

/** Says whether the row was new; a repeat of an instant changes nothing. */
export function addToHour(hour: HotHour, at: number, value: number, quality: number, seq: number): boolean {
  const isNewest = hour.length === 0 || at > (hour.at[hour.length - 1] as number)
  const i = isNewest ? hour.length : indexFrom(hour, at)
  if (!isNewest && hour.at[i] === at) return false
  if (hour.length === hour.at.length) grow(hour)
  if (!isNewest) {
    hour.at.copyWithin(i + 1, i, hour.length)
    hour.value.copyWithin(i + 1, i, hour.length)
    hour.quality.copyWithin(i + 1, i, hour.length)
    hour.seq.copyWithin(i + 1, i, hour.length)
  }
  hour.at[i] = at
  hour.value[i] = value
  hour.quality[i] = quality
  hour.seq[i] = seq
  hour.length++
  return true
}

/** Drops every row that arrived after `seq`; says how many. */
export function dropFromHour(hour: HotHour, seq: number): number {
  let kept = 0
  for (let i = 0; i < hour.length; i++) {
    if ((hour.seq[i] as number) > seq) continue
    hour.at[kept] = hour.at[i] as number
    hour.value[kept] = hour.value[i] as number
    hour.quality[kept] = hour.quality[i] as number
    hour.seq[kept] = hour.seq[i] as number
    kept++
  }
  const dropped = hour.length - kept
  hour.length = kept
  return dropped
}

/** An hour at one reading a minute fits without growing. */
const firstCapacity = 64

function grow(hour: HotHour): void {
  const wider = columnsFor(hour.at.length * 2)
  wider.at.set(hour.at)
  wider.value.set(hour.value)
  wider.quality.set(hour.quality)
  wider.seq.set(hour.seq)
  Object.assign(hour, wider)
}

const columnsFor = (capacity: number) => ({
  at: new Float64Array(capacity),
  value: new Float64Array(capacity),
  quality: new Uint8Array(capacity),
  seq: new Float64Array(capacity),
})
