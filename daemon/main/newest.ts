import { instantIn } from '../../shared/judging/snapshot.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Store } from '../ports/store.ts'

/** The latest instant that judging had come to: what a clock at boot may not lie before (N3). */
export function newestIn({ snapshot, since }: ReturnType<Store['resume']>): Instant | null {
  try {
    const last = since.at(-1)?.at ?? null
    if (snapshot === null) return last
    const judged = instantIn(snapshot)
    return last !== null && last > judged ? last : judged
  } catch {
    return null // the house says that it cannot be read
  }
}
