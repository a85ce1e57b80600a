import type { CalendarNow } from '../../schemas/calendar.ts'
import { days, later } from '../../schemas/amounts.ts'
import { DiaryLine } from '../../schemas/diary.ts'
import type { Household } from '../../schemas/household.ts'
import { DayList } from '../../schemas/season.ts'
import { Place } from '../../schemas/place.ts'
import type { Instant } from '../../schemas/units.ts'
import { doorOf } from '../../shared/air/one-door.ts'
import { cultureNow, cultureReminders } from '../../shared/animals/culture.ts'
import { byUrgency, onceEach } from '../../shared/animals/day-order.ts'
import { inOrder } from '../../shared/animals/reminder.ts'
import { remindersOf } from '../../shared/animals/reminders.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { addDays, localDate, wallInstant } from '../../shared/time/wall.ts'
import { nothing, ok, problem, type Reply } from './web-fixture-reply.ts'

/** The day as it is really worked out, from the invented household and what was noted; and one calendar feed. */
export function fixtureDay(world: {
  readonly now: () => Instant
  readonly household: () => Household
  readonly lines: () => readonly DiaryLine[]
}) {
  const { now, household, lines } = world
  let calendar: CalendarNow = { madeAt: null }
  let made = 0
  const begun = now()
  const counted = DiaryLine.parse({
    id: 'crickets-counted',
    at: later(begun, -days(16)),
    place: crickets.id,
    note: { kind: 'counted', amount: 220 },
    by: 'Robin',
    notedAt: later(begun, -days(16)),
  })

  const culture = () => ({
    place: crickets,
    history: [counted, ...lines().filter(({ place }) => place === crickets.id)].sort((a, b) => a.at - b.at),
    celsius: 21.4,
    now: now(),
    timeZone: household().timeZone,
  })

  function day(ahead: number): DayList {
    const { animals, places, timeZone, guidance } = household()
    const date = localDate(now(), timeZone)
    const until = addDays(date, ahead)
    const all = onceEach([
      ...animals.map((animal) => {
        const profile = profileOf(animal.species)
        if (profile === undefined) return []
        const door = animal.place === null ? null : doorOf(animal.place, places)
        const aired = lines().filter(({ place, note }) => note.kind === 'aired' && place === door?.id)
        return remindersOf(
          {
            animal,
            profile,
            guidance,
            history: lines()
              .filter((line) => line.animal === animal.id)
              .sort((a, b) => a.at - b.at),
            now: now(),
            timeZone,
          },
          {
            gate: null,
            wake: { standing: 'no', reasons: [] },
            waking: [],
            airedAt: aired.length === 0 ? null : (Math.max(...aired.map(({ at }) => at)) as Instant),
            airPlace: door,
            until,
          },
        )
      }),
      animals.length === 0 ? [] : cultureReminders(culture(), until),
    ])
    const today = wallInstant(date, '00:00', timeZone)
    return DayList.parse({
      date,
      due: byUrgency(all.filter(({ standing }) => standing !== 'coming')),
      coming: inOrder(all.filter(({ standing }) => standing === 'coming')),
      done: lines()
        .filter(({ at }) => at >= today)
        .sort((a, b) => b.at - a.at),
    })
  }

  return (method: string, [room = '']: readonly string[], query: URLSearchParams): Reply | null => {
    switch (`${method} ${room}`) {
      case 'GET day':
        // The list of animals asks for one day, and has its own.
        return query.get('days') === '14' ? ok(day(14)) : null
      case 'GET cultures':
        return ok(household().animals.length === 0 ? [] : [cultureNow(culture())])
      case 'GET calendar':
        return ok(calendar)
      case 'POST calendar':
        made += 1
        calendar = { madeAt: now() }
        return ok({
          ...calendar,
          address: `https://brumal.home.example/calendar/${'address'.repeat(6)}${made}.ics`,
        })
      case 'DELETE calendar':
        if (calendar.madeAt === null) return problem(404, 'noSuchFeed', 'You have no calendar feed.')
        calendar = { madeAt: null }
        return nothing
      default:
        return null
    }
  }
}

const crickets = Place.parse({
  id: 'crickets',
  name: 'Cricket tub',
  kind: 'culture',
  culture: { food: 'houseCricket', unit: 'pieces', weeklyUse: 70, orderWeeks: 1 },
})
