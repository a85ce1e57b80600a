import type { Reminder } from '../../schemas/season.ts'
import { kindOrder } from './reminder.ts'

/**
 * One reminder for one thing, from the lists of several animals: the same thing twice is one. Animals that share a door
 * may count its airings differently; the one that needs air soonest counts for all.
 */
export function onceEach(lists: readonly (readonly Reminder[])[]): readonly Reminder[] {
  const soonest = new Map<string, { readonly on: string; readonly list: readonly Reminder[] }>()
  for (const list of lists)
    for (const { place = '', on } of list.filter(isAiring)) {
      const known = soonest.get(place)
      if (known === undefined || on < known.on) soonest.set(place, { on, list })
    }
  const seen = new Set<string>()
  return lists.flatMap((list) =>
    list.filter((one) => {
      if (isAiring(one) && soonest.get(one.place ?? '')?.list !== list) return false
      if (seen.has(one.id)) return false
      seen.add(one.id)
      return true
    }),
  )
}

/** What harms most when it is left undone first; of one kind what is late for longest. */
export const byUrgency = (reminders: readonly Reminder[]): readonly Reminder[] =>
  [...reminders].sort(
    (one, other) =>
      kindOrder.indexOf(one.kind) - kindOrder.indexOf(other.kind) ||
      (one.on < other.on ? -1 : one.on > other.on ? 1 : 0) ||
      (one.title < other.title ? -1 : one.title > other.title ? 1 : 0),
  )

const isAiring = ({ kind }: Reminder): boolean => kind === 'air'
