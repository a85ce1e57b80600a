import { days as daysLong, later } from '../../schemas/amounts.ts'
import type { CultureNow } from '../../schemas/culture.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Place } from '../../schemas/place.ts'
import type { DayList, Reminder } from '../../schemas/season.ts'
import type { Instant } from '../../schemas/units.ts'
import { cultureNow, cultureReminders, type CultureFacts } from '../../shared/animals/culture.ts'
import { byUrgency, onceEach } from '../../shared/animals/day-order.ts'
import { inOrder } from '../../shared/animals/reminder.ts'
import { remindersOf } from '../../shared/animals/reminders.ts'
import { writeCalendar } from '../../shared/telling/calendar.ts'
import { reminderCalendar } from '../../shared/telling/reminder-calendar.ts'
import { addDays, localDate, wallInstant } from '../../shared/time/wall.ts'
import type { SeasonDesk } from '../ports/season.ts'
import { subjectOf } from './animal-subject.ts'
import { calibratedHistory } from './calibrated-history.ts'
import { outwards, visitsOf } from './place-visits.ts'
import type { SeasonWorld } from './season-world.ts'

/** A culture's warmth is that of the last week: what it grew by. */
const warmthOver = daysLong(7)

/** So far ahead a calendar shows what is coming: a hold of three months and its waking. */
const feedAhead = 120

/** What is to be done today, and how long the live food lasts. `standing`: what is judged of each animal. */
export function openDay(
  { house, store, diary, clock, catalogue }: SeasonWorld,
  standing: SeasonDesk['standing'],
): Pick<SeasonDesk, 'day' | 'cultures' | 'calendar'> {
  const household = () => house.state().layout.household

  const history = calibratedHistory(store, (sensor) => {
    const { layout } = house.state()
    return layout.sensors[layout.sensorIndex.get(sensor) ?? -1]?.calibrations ?? []
  })

  /** Mean of the last week by the thermometers of the place, else of what it stands in; null where nothing measures. */
  function warmthIn(id: PlaceId, now: Instant): number | null {
    const { layout } = house.state()
    for (const one of outwards(id, household().places)) {
      const p = layout.placeIndex.get(one)
      const means = (layout.places[p ?? -1]?.sensors ?? []).flatMap((s) => {
        const spec = layout.sensors[s]
        if (spec === undefined || spec.spot === 'basking') return []
        const span = { from: later(now, -warmthOver), to: now }
        return history.summaries(spec.id, 'temperature', [span], house.zonesOf)[0]?.mean ?? []
      })
      if (means.length > 0) return means.reduce((sum, mean) => sum + mean, 0) / means.length
    }
    return null
  }

  const factsOf = (place: Place, now: Instant): CultureFacts => ({
    place,
    history: [...diary.entries({ place: place.id, kinds: ['counted', 'added', 'taken'] })].reverse(),
    celsius: warmthIn(place.id, now),
    now,
    timeZone: household().timeZone,
  })

  const culturePlaces = (): readonly Place[] =>
    household().places.filter(({ culture }) => culture !== undefined)

  function animalReminders(now: Instant, until: string): readonly (readonly Reminder[])[] {
    const { animals, places } = household()
    const visits = visitsOf({ store, diary }, places)
    return animals.map((animal) => {
      const subject = subjectOf({ house, diary, clock, catalogue }, animal)
      const judged = standing(animal.id)
      if (subject === null || !judged.ok) return []
      const { gate, wake, waking, mass } = judged.value
      const facts = { gate, wake, waking, until, mass: mass?.standing ?? null, ...visits(animal) }
      return remindersOf({ ...subject, now }, facts)
    })
  }

  const day = (days: number): DayList => {
    const now = clock.now()
    const { timeZone } = household()
    const date = localDate(now, timeZone)
    const until = addDays(date, days)
    const all = onceEach([
      ...animalReminders(now, until),
      ...culturePlaces().map((place) => cultureReminders(factsOf(place, now), until)),
    ])
    return {
      date,
      due: [...byUrgency(all.filter((one) => one.standing !== 'coming'))],
      coming: [...inOrder(all.filter((one) => one.standing === 'coming'))],
      done: [...diary.entries({ from: wallInstant(date, '00:00', timeZone) })],
    }
  }

  return {
    day,
    cultures(): CultureNow[] {
      const now = clock.now()
      return culturePlaces().map((place) => cultureNow(factsOf(place, now)))
    },
    calendar(link) {
      const { due, coming } = day(feedAhead)
      return writeCalendar(reminderCalendar(household(), [...due, ...coming], { at: clock.now(), link }))
    },
  }
}
