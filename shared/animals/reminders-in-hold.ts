import type { MassStanding } from '../../schemas/condition.ts'
import type { WakeNow } from '../../schemas/season.ts'
import type { SeasonFigures } from '../../schemas/species.ts'
import type { Instant } from '../../schemas/units.ts'
import { addDays, localDate } from '../time/wall.ts'
import { coldOf } from './cold.ts'
import { dayOf, from, laterDay, repeated, type Task, wholeDays } from './reminder.ts'
import { type Stretch, stretchOf } from './stretch.ts'
import { figureOf, linesOf, type Subject } from './subject.ts'
import { say } from '../words/say.ts'

/** A loss past the monthly rule is looked at again after two days. Derived: the mass rules name no time. */
const weighAgainAfter = 2

export interface HoldFacts {
  readonly wake: WakeNow
  readonly mass: MassStanding | null
  /** When somebody last looked at all in its place; null: nobody noted it. */
  readonly lookedAt: Instant | null
  readonly until: string
}

/** What is to be done while it is cooled and held, from the plan in force. */
export function tasksInHold(subject: Subject, facts: HoldFacts): readonly Task[] {
  const { animal, profile, now, timeZone } = subject
  const figures = profile.season
  const hold = stretchOf(animal.plan, 'hold', now)
  if (figures === undefined || hold === null || isAwakeAgain(subject, hold)) return []
  if (facts.wake.standing === 'now') return [wakeNow(subject, facts.wake)]
  const today = localDate(now, timeZone)
  const stays = { from: dayOf(hold.from, timeZone), to: hold.to === null ? null : dayOf(hold.to, timeZone) }
  const isBefore = (on: string) => stays.to === null || on < stays.to
  const isOver = !isBefore(today)
  const begins = isOver ? [] : holdBegins(subject, figures, stays.from, today)
  // While the entry weigh-in is missing, that is what is asked for, not a second one.
  const isEntryMissing = begins.some(({ on }) => on <= today)
  const weighs = isOver ? [] : weighIns(subject, figures, facts, stays.from, today)
  return [
    ...begins,
    ...weighs.filter(({ on }) => isBefore(on) && !(isEntryMissing && on <= today)),
    ...(isOver ? [] : looks(subject, figures, facts, stays.from, today).filter(({ on }) => isBefore(on))),
    ...beginWarming(subject, stays.to),
  ]
}

/** The days on which fresh air is to be let in while the hold lasts. Of a place: its animals share them. */
export function airings(
  subject: Subject,
  airedAt: Instant | null,
  placeName: string,
  until: string,
): readonly Task[] {
  const { animal, profile, guidance, now, timeZone } = subject
  const figures = profile.season
  const hold = stretchOf(animal.plan, 'hold', now)
  if (figures === undefined || hold === null || isAwakeAgain(subject, hold)) return []
  const today = localDate(now, timeZone)
  const to = hold.to === null ? null : dayOf(hold.to, timeZone)
  if (to !== null && today >= to) return []
  const every = wholeDays(figureOf(figures.airDays, guidance))
  const start = dayOf(hold.from, timeZone)
  // It was open when they went in; an older opening does not count.
  const since = airedAt === null ? start : laterDay(start, dayOf(airedAt, timeZone))
  return repeated(addDays(since, every), every, today, until)
    .filter((on) => to === null || on < to)
    .map((on) => ({
      kind: 'air',
      title: say('Air {place}', { place: placeName }),
      on,
      sentence: say('Let fresh air in {part}. An opening that its thermometer or contact saw counts.', {
        part: every === 1 ? say('every day') : say('every {every} days', { every }),
      }),
      ...from(figures.airDays),
    }))
}

/** This hold is behind it: somebody began to warm it, or it is awake by its plan. */
const isAwakeAgain = (subject: Subject, hold: Stretch): boolean =>
  hold.from <= subject.now && coldOf(subject) === null

function wakeNow({ animal, timeZone, now }: Subject, { reasons }: WakeNow): Task {
  const pressing = reasons.filter(({ isNow }) => isNow)
  const first = pressing[0] ?? reasons[0]
  const since = Math.min(now, ...pressing.map(({ at }) => at)) as Instant
  return {
    kind: 'wakeNow',
    title: say('Wake {animal}', { animal: animal.name }),
    on: dayOf(since, timeZone),
    sentence: pressing.map(({ sentence }) => sentence).join(' ') || say('Its hold should end now.'),
    source: first?.source ?? null,
    evidence: first?.evidence ?? null,
  }
}

function holdBegins(subject: Subject, figures: SeasonFigures, on: string, today: string): readonly Task[] {
  const { animal, history, now, timeZone, guidance } = subject
  const isSeen = history.some(
    ({ note, at }) =>
      at <= now && dayOf(at, timeZone) >= on && (note.kind === 'weighed' || note.kind === 'looked'),
  )
  if (isSeen && today >= on) return []
  return [
    {
      kind: 'hold',
      title: say('Hold begins for {animal}', { animal: animal.name }),
      on,
      sentence: say('Its place should be at {figure} °C. Weigh it: every loss is judged against this day.', {
        figure: figureOf(figures.aim, guidance),
      }),
      ...from(figures.aim),
    },
  ]
}

function weighIns(
  subject: Subject,
  figures: SeasonFigures,
  { mass, until }: HoldFacts,
  start: string,
  today: string,
): readonly Task[] {
  const { animal, history, now, timeZone, guidance } = subject
  const every = wholeDays(figureOf(figures.weighDays, guidance))
  const last = linesOf(history, 'weighed').findLast((line) => line.at <= now)
  const sooner = mass === 'watch' ? Math.min(every, weighAgainAfter) : every
  // The day on which the hold begins has a reminder of its own, which asks for the weigh-in.
  const first =
    last === undefined || dayOf(last.at, timeZone) < start
      ? addDays(start, every)
      : addDays(dayOf(last.at, timeZone), sooner)
  return repeated(first, every, today, until).map((on, i) => ({
    kind: 'weigh',
    title: say('Weigh {animal}', { animal: animal.name }),
    on,
    sentence:
      i === 0 && sooner < every
        ? say('It lost more than it should: weigh it again, and look at its probe, its air and its box.')
        : say('In hold it is weighed {part}.', {
            part: every === 1 ? say('every day') : say('every {every} days', { every }),
          }),
    ...from(figures.weighDays),
  }))
}

function looks(
  subject: Subject,
  figures: SeasonFigures,
  { lookedAt, until }: HoldFacts,
  start: string,
  today: string,
): readonly Task[] {
  const { animal, history, now, timeZone, guidance } = subject
  const every = wholeDays(figureOf(figures.lookDays, guidance))
  const last = history.findLast((line) => line.at <= now && line.note.kind !== 'coolingBegan')
  const seen = Math.max(last?.at ?? -Infinity, lookedAt ?? -Infinity)
  const since = Number.isFinite(seen) ? laterDay(start, dayOf(seen as Instant, timeZone)) : start
  return repeated(addDays(since, every), every, today, until).map((on) => ({
    kind: 'look',
    title: say('Look at {animal}', { animal: animal.name }),
    on,
    sentence: say('Eyes, nose, plastron or belly, mould, moisture. Anything noted of it counts as a look.'),
    ...from(figures.lookDays),
  }))
}

function beginWarming({ animal, profile }: Subject, on: string | null): readonly Task[] {
  if (on === null) return []
  const figures = profile.season
  return [
    {
      kind: 'beginWarming',
      title: say('Begin warming {animal}', { animal: animal.name }),
      on,
      sentence: say('Its hold ends by the plan. Say so on its plan, and its place follows.'),
      source: figures?.mostWeeks.source ?? null,
      evidence: figures?.mostWeeks.evidence ?? null,
    },
  ]
}
