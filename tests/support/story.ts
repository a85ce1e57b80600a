import { Household } from '../../schemas/household.ts'
import type { AlarmId, PlaceId, SensorId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Instant } from '../../schemas/units.ts'
import type { AlarmEvent } from '../../shared/judging/alarm.ts'
import { placesNow } from '../../shared/judging/place-now.ts'
import { fromSnapshot, toSnapshot } from '../../shared/judging/snapshot.ts'
import { startWatch, stepWatch, type WatchEvent } from '../../shared/judging/watch.ts'
import type { WatchEffect, WatchState } from '../../shared/judging/watch-state.ts'
import { profileOf } from '../../shared/species/catalogue.ts'

/** Stories begin here, in the middle of a northern winter: 2026-01-10 20:00 UTC. */
export const dusk = Date.parse('2026-01-10T20:00:00Z')

/** A household from the few words that a story needs; everything else takes its default. */
export function aHousehold(parts: {
  places?: readonly object[]
  sensors?: readonly object[]
  animals?: readonly object[]
  guidance?: string
}): Household {
  return Household.parse({ version: 1, name: 'The story house', timeZone: 'Europe/Vienna', ...parts })
}

/** One tortoise in hold in a box in a fridge, with a probe in the box that speaks every minute. */
export const tortoiseBox = aHousehold({
  places: [
    { id: 'fridge', name: 'Cellar fridge', kind: 'fridge' },
    { id: 'box', name: 'Low shelf box', kind: 'box', parent: 'fridge' },
  ],
  sensors: [
    {
      id: 'probe',
      name: 'Box probe',
      place: 'box',
      topic: 'brumal/in/probe',
      type: 'ds18b20',
      expectedEvery: 60_000,
    },
  ],
  animals: [
    {
      id: 'juno',
      name: 'Juno',
      species: 'testudo-hermanni',
      place: 'box',
      mode: 'goesDown',
      plan: [{ phase: 'hold', from: dusk - 30 * 86_400_000 }],
    },
  ],
})

/** A watch that is told what happens minute by minute and remembers what it did. */
export function aWatch(household: Household = tortoiseBox) {
  let state: WatchState = startWatch(household, profileOf, dusk as Instant)
  let now = dusk
  const effects: WatchEffect[] = []
  const step = (event: WatchEvent) => {
    const [next, more] = stepWatch(state, event)
    state = next
    effects.push(...more)
  }
  const story = {
    get state() {
      return state
    },
    get effects(): readonly WatchEffect[] {
      return effects
    },
    get journal(): readonly JournalEntry[] {
      return effects.flatMap((effect) => (effect.kind === 'journal' ? [effect.entry] : []))
    },
    /** `raised low at 30` with minutes since dusk. */
    get alarms(): readonly string[] {
      return story.journal.flatMap((entry) => {
        if (entry.kind !== 'raised' && entry.kind !== 'returned') return []
        const what = entry.limit ?? `${entry.alarmKind}${entry.sensor ? ` ${entry.sensor}` : ''}`
        return [`${entry.kind} ${what} at ${Math.round(((entry.at - dusk) / 60_000) * 100) / 100}`]
      })
    },
    get now(): Instant {
      return now as Instant
    },
    /** The clock reaches `minute`, and the watch looks at it. */
    reaches(minute: number) {
      now = dusk + minute * 60_000
      step({ kind: 'timePassed', at: now as Instant })
      return story
    },
    /** Like `reaches`, but nobody looks. */
    unseenUntil(minute: number) {
      now = dusk + minute * 60_000
      return story
    },
    hears(value: number, sensor = 'probe', quantity: Quantity = 'temperature', at = now) {
      step({
        kind: 'reading',
        reading: { sensor: sensor as SensorId, quantity, value, at: at as Instant },
        heardAt: now as Instant,
      })
      return story
    },
    /** The same value every minute from now to `minute`, the clock seen each time. */
    holds(value: number, minute: number, sensor = 'probe') {
      for (let m = Math.ceil((now - dusk) / 60_000); m <= minute; m++) story.reaches(m).hears(value, sensor)
      return story
    },
    does(alarm: string, act: Extract<AlarmEvent, { by: string }>) {
      step({ kind: 'person', alarm: alarm as AlarmId, act })
      return story
    },
    tends(place: string, minutes: number, by = 'Ada') {
      step({
        kind: 'tend',
        place: place as PlaceId,
        at: now as Instant,
        until: (now + minutes * 60_000) as Instant,
        by,
      })
      return story
    },
    /** Anything else that may happen. */
    is(event: WatchEvent) {
      step(event)
      return story
    },
    becomes(changed: Household) {
      step({ kind: 'household', at: now as Instant, household: changed, profileOf })
      return story
    },
    listensAgain() {
      step({ kind: 'listening', at: now as Instant })
      return story
    },
    /** Stops and starts as the daemon does: through its snapshot. */
    restarts() {
      state = fromSnapshot(toSnapshot(state), state.layout.household, profileOf)
      return story
    },
    alarm: (id: string) => state.alarms.get(id as AlarmId)?.state.name ?? 'normal',
    places: () => placesNow(state, now as Instant),
    place: (id: string) => placesNow(state, now as Instant).find((place) => place.id === id),
  }
  return story
}
