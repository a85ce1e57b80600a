import type { WatchEffect } from '../../shared/judging/watch-state.ts'
import type { ReadingCounts } from '../../shared/metrics/facts.ts'

type Sums = Omit<ReadingCounts, 'stored' | 'messages' | 'refused'>

/** Counts what becomes of readings. */
export function countReadings(): { heard(effects: readonly WatchEffect[]): void; sums(): Sums } {
  let [doubted, late, setAside, repeated] = [0, 0, 0, 0]
  return {
    /** `effects`: what one reading led to. */
    heard(effects) {
      const what = effects.find(({ kind }) => kind === 'store' || kind === 'setAside')
      if (what === undefined) repeated += 1
      else if (what.kind === 'setAside') setAside += 1
      else if (what.kind === 'store') {
        if (what.late) late += 1
        if (what.quality !== 'good') doubted += 1
      }
    },
    sums: () => ({ doubted, late, setAside, repeated }),
  }
}
