import type { Household } from '../../schemas/household.ts'
import type { Instant } from '../../schemas/units.ts'
import type { ProfileOf } from '../../shared/judging/layout.ts'
import { fromSnapshot, instantIn, tellingIn } from '../../shared/judging/snapshot.ts'
import { startWatch, stepWatch } from '../../shared/judging/watch.ts'
import type { WatchState } from '../../shared/judging/watch-state.ts'
import { nothingTold, type TellingState } from '../../shared/telling/telling-state.ts'
import type { Log } from '../ports/log.ts'
import type { Store } from '../ports/store.ts'

/** The watch and what was told, as they were left: by the last snapshot, then every reading kept after it (L7). */
export function resumeHouse(
  stored: ReturnType<Store['resume']>,
  world: {
    readonly household: Household
    readonly profileOf: ProfileOf
    readonly log: Log
    readonly now: Instant
  },
): { readonly watch: WatchState; readonly told: TellingState } {
  const kept = readable(stored, world.log)
  return {
    watch: resume(kept, world.household, world.profileOf, world.now),
    told: kept.snapshot === null ? nothingTold : tellingIn(kept.snapshot),
  }
}

/** A snapshot that cannot be read must not keep the house from being watched: judging begins afresh. */
function readable(kept: ReturnType<Store['resume']>, log: Log): ReturnType<Store['resume']> {
  try {
    if (kept.snapshot !== null) instantIn(kept.snapshot)
    return kept
  } catch (cause) {
    log.error({ err: cause }, 'What was known of the alarms cannot be read; judging begins afresh.')
    return { ...kept, snapshot: null }
  }
}

/** The fold is deterministic, so what was judged after the snapshot is judged again to the same state, without effects. */
function resume(
  { snapshot, since }: ReturnType<Store['resume']>,
  household: Household,
  profileOf: ProfileOf,
  now: Instant,
): WatchState {
  let state =
    snapshot === null
      ? startWatch(household, profileOf, since[0]?.at ?? now)
      : fromSnapshot(snapshot, household, profileOf)
  for (const { quality: _, ...reading } of since)
    state = stepWatch(state, { kind: 'reading', reading, heardAt: reading.at })[0]
  return state
}
