import type { DayList, Reminder } from '../../schemas/season.ts'
import { kindOrder } from '../../shared/animals/reminder.ts'
import { addDays } from '../../shared/time/wall.ts'

/** What a day's list must not do (S4): each fault in one line. */
export function remindersWatch() {
  const faults: string[] = []
  let expected: readonly Reminder[] = []
  const fault = (date: string, what: string, { id, title }: Pick<Reminder, 'id' | 'title'>) =>
    void faults.push(`${date} ${what}: ${title} (${id})`)

  function listFaults(date: string, { due, coming }: DayList): void {
    const ids = new Set<string>()
    const things = new Set<string>()
    for (const one of [...due, ...coming]) {
      if (ids.has(one.id)) fault(date, 'listed twice', one)
      ids.add(one.id)
    }
    for (const one of due) {
      const thing = `${one.kind} ${one.animal ?? one.place}`
      if (things.has(thing)) fault(date, 'two for one thing', one)
      things.add(thing)
      if (one.standing === 'coming' || one.on > date) fault(date, 'due before its day', one)
      if ((one.standing === 'late') !== one.on < date)
        fault(date, `${one.standing} though it is for ${one.on}`, one)
    }
    due.forEach((one, i) => {
      const before = due[i - 1]
      if (before !== undefined && kindOrder.indexOf(before.kind) > kindOrder.indexOf(one.kind))
        fault(date, 'out of order', one)
    })
    coming.forEach((one, i) => {
      if (one.on <= date) fault(date, 'coming though it is due', one)
      if ((coming[i - 1]?.on ?? one.on) > one.on) fault(date, 'out of order', one)
    })
  }

  return {
    /** What was announced last evening for today must be there this morning. */
    morning(date: string, list: DayList): void {
      listFaults(date, list)
      for (const one of expected)
        if (one.on === date && !list.due.some(({ id }) => id === one.id))
          fault(date, 'lost over the night', one)
      for (const one of expected)
        if (one.on < date && !list.due.some(({ id }) => id === one.id))
          fault(date, 'late one lost over the night', one)
    },
    /** What was done is gone; what was left stays. */
    evening(
      date: string,
      done: readonly Reminder[],
      after: DayList,
      leaves: (one: Reminder) => boolean,
    ): void {
      listFaults(date, after)
      for (const one of done)
        if (after.due.some(({ id }) => id === one.id)) fault(date, 'still there though it was done', one)
      const tomorrow = addDays(date, 1)
      expected = [...after.due.filter(leaves), ...after.coming.filter(({ on }) => on === tomorrow)]
    },
    faults: (): readonly string[] => faults,
  }
}
