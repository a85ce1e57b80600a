import { later, minutes } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Clock } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import type { Snapshot, Store } from '../ports/store.ts'
import type { ZonesOf } from '../ports/zones.ts'
import type { Ledger } from './ledger.ts'

/** An hour is folded this long after its end, so that ordinary delays need no second merge. */
const foldAfter = minutes(5)
/** More unfolded readings than this are folded at once: scanning them for one sensor would take over 7 ms. */
const mostUnfolded = 50_000

/** Moves closed hours into blocks when it is time; asked often, it seldom does anything. */
export function hourFolder(world: {
  readonly store: Pick<Store, 'unfolded' | 'fold'>
  readonly clock: Pick<Clock, 'now'>
  readonly log: Log
  readonly ledger: Pick<Ledger, 'commit' | 'isFailing'>
  readonly zonesOf: ZonesOf
  readonly snapshot: () => Snapshot
}): () => void {
  const { store, clock, log, ledger, zonesOf, snapshot } = world
  let foldedBefore: Instant | null = null

  return () => {
    const now = clock.now()
    const many = store.unfolded() > mostUnfolded
    const closed = hourOf(later(now, -foldAfter))
    // Once an hour: each fold writes the snapshot, and one every half minute was a third of all that is written.
    if (ledger.isFailing() || store.unfolded() === 0 || (!many && closed === foldedBefore)) return
    ledger.commit()
    if (ledger.isFailing()) return
    const result = store.fold(many ? later(hourOf(now), 3_600_000) : closed, zonesOf, snapshot())
    foldedBefore = closed
    if (result.readings > 0) log.debug(result, 'Closed hours folded into blocks.')
  }
}

const hourOf = (at: Instant): Instant => (at - (at % 3_600_000)) as Instant
