import type { Household } from '../../schemas/household.ts'
import type { ProfileOf } from '../../shared/judging/layout.ts'
import type { Clock } from '../ports/clock.ts'
import { objectionTo } from './edits.ts'
import type { House } from './house.ts'
import { notStored } from './not-stored.ts'
import type { SaveHousehold } from './season-world.ts'

/** The one way by which a person's change to the household is checked, written down with its line, and in force. */
export function savesHousehold({
  house,
  clock,
  profileOf,
  onSensors,
}: {
  readonly house: House
  readonly clock: Clock
  readonly profileOf: ProfileOf
  /** Told after each change: which topics are listened to may be others now. */
  readonly onSensors: (household: Household) => void
}): SaveHousehold {
  return (next, by, text, kind = 'changed', about = {}, diary = []) => {
    const objection = objectionTo(next, profileOf, clock.now(), house.state().layout.household)
    // An animal that must be woken is woken: that its box suits it no longer is an alarm, not an obstacle
    const isObstacle = objection?.error !== 'bandsConflict' || kind !== 'warmingBegan'
    if (objection !== null && isObstacle) return { ok: false, ...objection }
    const entry = { at: clock.now(), kind, by, text: text.slice(0, 500), ...about }
    if (!house.rehouse(next, entry, diary)) return notStored
    onSensors(next)
    return { ok: true }
  }
}
