import type { Priority } from '../../schemas/band.ts'

const order: readonly Priority[] = ['high', 'medium', 'low']

/** The highest priority among these; null when there are none. */
export function worstOf(alarms: readonly { readonly priority: Priority }[]): Priority | null {
  return order.find((priority) => alarms.some((alarm) => alarm.priority === priority)) ?? null
}

/** Orders by priority, highest first; equals keep their order. */
export const byPriority = (a: { priority: Priority }, b: { priority: Priority }): number =>
  order.indexOf(a.priority) - order.indexOf(b.priority)
