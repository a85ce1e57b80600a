import type { SeasonDesk } from '../../daemon/ports/season.ts'
import type { CultureNow } from '../../schemas/culture.ts'
import { PlaceId } from '../../schemas/ids.ts'
import type { Reminder } from '../../schemas/season.ts'
import { writeCalendar } from '../../shared/telling/calendar.ts'
import { reminderCalendar } from '../../shared/telling/reminder-calendar.ts'
import { addDays, wallInstant } from '../../shared/time/wall.ts'

/** Of the clock with which these houses begin. */
const dayForHttpDate = '2026-12-24'

/** Two tasks of a fridge, one late and one ahead, and a tub of crickets that nobody counted. */
export function dayForHttp(): Pick<SeasonDesk, 'day' | 'cultures' | 'calendar'> {
  const fridge = PlaceId.parse('fridge')
  const air = (on: string, standing: Reminder['standing']): Reminder => ({
    id: `air:fridge:${on}`,
    kind: 'air',
    place: fridge,
    title: 'Air Cellar fridge',
    on,
    standing,
    sentence: 'Open it for a minute; every 7 days fresh air.',
    source: null,
    evidence: null,
  })
  const crickets: CultureNow = {
    place: PlaceId.parse('crickets'),
    name: 'Cricket tub',
    food: 'houseCricket',
    unit: 'pieces',
    stock: null,
    weeklyUse: 40,
    weeksLeft: null,
    orderBy: null,
    isLow: false,
    warmth: null,
    sentence: 'How many house crickets there are is not known: count them.',
  }
  const day: SeasonDesk['day'] = (days) => {
    const ahead = addDays(dayForHttpDate, 7)
    return {
      date: dayForHttpDate,
      due: [air(addDays(dayForHttpDate, -1), 'late')],
      coming: ahead <= addDays(dayForHttpDate, days) ? [air(ahead, 'coming')] : [],
      done: [],
    }
  }
  return {
    day,
    cultures: () => [crickets],
    calendar(link) {
      const { due, coming } = day(120)
      const house = { name: 'Under the stairs', timeZone: 'Europe/Vienna', animals: [] }
      const at = wallInstant(dayForHttpDate, '22:00', 'Europe/Vienna')
      return writeCalendar(reminderCalendar(house, [...due, ...coming], { at, link }))
    },
  }
}
