import type { Animal, PlanStep } from '../../schemas/animal.ts'
import type { Reminder } from '../../schemas/season.ts'
import type { Instant } from '../../schemas/units.ts'
import { stretchesOf } from '../animals/stretch.ts'
import { addDays, daysBetween, localDate } from '../time/wall.ts'
import type { CalendarEvent, CalendarFeed } from './calendar.ts'
import { cautions } from './first-thing.ts'
import { phaseWord } from './words.ts'
import { say } from '../words/say.ts'

export interface DatedHouse {
  readonly name: string
  readonly timeZone: string
  readonly animals: readonly Pick<Animal, 'id' | 'name' | 'plan' | 'draft'>[]
}

/** A reminder whose day is always today moves each day, and has no other number to count by. */
const countedFrom = '2026-01-01'

/** Phases that ended longer ago are history. */
const endedAgo = 30

/**
 * The house's reminders and phases as a calendar. What is late stands on today, so that it is not lost in last week; as
 * it moves on with each day, its number counts up.
 */
export function reminderCalendar(
  house: DatedHouse,
  reminders: readonly Reminder[],
  { at, link }: { readonly at: Instant; readonly link: string },
): CalendarFeed {
  const today = localDate(at, house.timeZone)
  return {
    name: say('{name}: winter', { name: house.name }),
    at,
    link,
    events: [
      ...reminders.map((one) => eventOf(one, house, today)),
      ...house.animals.flatMap((animal) => [
        ...phases(animal, animal.plan, 'plan', house, today),
        ...phases(animal, animal.draft, 'draft', house, today),
      ]),
    ],
  }
}

function eventOf(
  { id, title, on, sentence, source }: Reminder,
  house: DatedHouse,
  today: string,
): CalendarEvent {
  const late = Math.max(0, daysBetween(on, today))
  const day = late > 0 ? today : on
  return {
    uid: uidOf(id, house),
    on: day,
    until: addDays(day, 1),
    title: late > 0 ? say('Late: {title}', { title }) : title,
    text: [
      sentence,
      ...(late > 0 ? [say('Due since {on}.', { on })] : []),
      ...(source === null ? [] : [say('Source: {source}.', { source })]),
      cautions,
    ].join('\n'),
    sequence: id.endsWith(on) ? late : Math.max(0, daysBetween(countedFrom, day)),
  }
}

function phases(
  animal: DatedHouse['animals'][number],
  steps: readonly PlanStep[],
  what: 'plan' | 'draft',
  house: DatedHouse,
  today: string,
): readonly CalendarEvent[] {
  return stretchesOf(steps).flatMap(({ phase, from, to }) => {
    const on = localDate(from, house.timeZone)
    const until = to === null ? addDays(on, 1) : localDate(to, house.timeZone)
    if (phase === 'awake' || until <= on || until < addDays(today, -endedAgo)) return []
    return [
      {
        uid: uidOf(`${what}:${animal.id}:${phase}:${on}`, house),
        on,
        until,
        title:
          what === 'draft'
            ? say('{animal}: {phase} (drafted)', { animal: animal.name, phase: phaseWord[phase] })
            : `${animal.name}: ${phaseWord[phase]}`,
        text: `${what === 'draft' ? say('In preparation: nothing follows it yet.') : say('By its plan.')}\n${cautions}`,
        sequence: 0,
      },
    ]
  })
}

/** Two houses of one person must not share an id (RFC 5545 §3.8.4.7). */
const uidOf = (id: string, { name }: DatedHouse): string =>
  `${id}@${name.toLowerCase().replace(/[^a-z0-9]+/g, '-')}.brumal`
