import type { Limit } from '../../schemas/band.ts'
import type { Instant } from '../../schemas/units.ts'
import { contactUnknown, stepContact } from '../thermal/door-contact.ts'
import type { Opening } from './door-journal.ts'
import { type ConditionChange, contactRule, sayCondition } from './thermal-conditions.ts'
import type { ThermalWatch } from './thermal-state.ts'

/** One word of a contact on the door: ajar after five minutes, unless the keeper has a limit for that. */
export function takeContact(
  thermal: ThermalWatch,
  at: Instant,
  open: boolean,
  limits: readonly (Limit | null)[] | undefined,
): {
  readonly thermal: ThermalWatch
  readonly changes: readonly ConditionChange[]
  readonly opening: Opening | null
} {
  const [contact, opened] = stepContact(thermal.contact ?? contactUnknown, { at, open })
  const isLimited = (limits ?? []).some((limit) => limit !== null)
  const isSo = open && !isLimited
  const [conditions, changes] = sayCondition([thermal.conditions, []], 'doorAjar', isSo, at, contactRule)
  const opening: Opening | null =
    opened === null ? null : { ...opened, rise: null, recovery: null, by: 'contact' }
  return { thermal: { ...thermal, contact, opened: opened ?? thermal.opened, conditions }, changes, opening }
}
