import type { NoteOf } from '../../schemas/diary.ts'
import type { Gate } from '../../schemas/season.ts'
import type { SeasonFigures } from '../../schemas/species.ts'
import { addDays, localDate } from '../time/wall.ts'
import { marksOf, type PlanMark } from './plan-marks.ts'
import { dayOf, from, laterDay, repeated, type Task, wholeDays } from './reminder.ts'
import { stretchOf } from './stretch.ts'
import { figureOf, linesOf, type Subject } from './subject.ts'
import { say } from '../words/say.ts'

/** What was answered or measured up to so long before its day still counts. Derived: the feeding-up weeks. */
const countsBefore = 60
/** A test of the droppings counts for the winter after it. Derived. */
const testCountsBefore = 120
/** The weigh-in that the gate asks for, and how old it may be. Derived: a week is the strict weighing interval. */
const weighAhead = 2
const weighCountsBefore = 7
/** The last meal may have been noted some days early. Derived: adults are fed every second or third day. */
const mealCountsBefore = 3

/** What is to be done before it goes down: all from the draft, until cooling begins. */
export function tasksAhead(subject: Subject, gate: Gate | null, until: string): readonly Task[] {
  const { animal, profile, now, timeZone } = subject
  const figures = profile.season
  const hold = stretchOf(animal.draft, 'hold', now)
  if (figures === undefined || hold === null) return []
  const cool = stretchOf(animal.draft, 'coolDown', now) ?? hold
  const fast = stretchOf(animal.draft, 'fast', now)
  const coolDay = dayOf(cool.from, timeZone)
  const fastDay = fast === null ? coolDay : dayOf(fast.from, timeZone)
  const marks = marksOf(subject, animal.draft)
  const mark = (kind: PlanMark['kind']): PlanMark | undefined => marks.find((one) => one.kind === kind)
  const healthDay = dayOf(mark('healthCheck')?.at ?? cool.from, timeZone)
  return [
    ...faecesTest(subject, mark('faecesTest')),
    ...healthCheck(subject, mark('healthCheck')),
    ...measure(subject, healthDay),
    ...weighBefore(subject, coolDay),
    ...(fast === null ? [] : lastMeal(subject, mark('lastMeal'), fastDay, coolDay)),
    ...(fast === null ? [] : baths(subject, figures, fastDay, coolDay, until)),
    beginCooling(subject, gate, coolDay),
  ]
}

function faecesTest(subject: Subject, mark: PlanMark | undefined): readonly Task[] {
  if (mark === undefined) return []
  const on = dayOf(mark.at, subject.timeZone)
  const isDone = linesOf(subject.history, 'checked').some(
    (line) =>
      line.note.answers.faecesTested === 'yes' && isFrom(subject, line.at, addDays(on, -testCountsBefore)),
  )
  return isDone
    ? []
    : [
        {
          ...sourced(mark),
          kind: 'faecesTest',
          title: say('Faeces test of {animal}', { animal: subject.animal.name }),
          on,
        },
      ]
}

function healthCheck(subject: Subject, mark: PlanMark | undefined): readonly Task[] {
  if (mark === undefined) return []
  const on = dayOf(mark.at, subject.timeZone)
  const isDone = linesOf(subject.history, 'checked').some(
    (line) => !isFaecesTestAlone(line.note) && isFrom(subject, line.at, addDays(on, -countsBefore)),
  )
  return isDone
    ? []
    : [
        {
          ...sourced(mark),
          kind: 'healthCheck',
          title: say('Health check of {animal}', { animal: subject.animal.name }),
          on,
        },
      ]
}

/** The test of the droppings has a day of its own; its answer does not say that anybody looked the animal over. */
function isFaecesTestAlone({ answers }: NoteOf<'checked'>): boolean {
  const asked = Object.keys(answers)
  return asked.length === 1 && asked[0] === 'faecesTested'
}

/** Only where a published rule of its species asks for its length. */
function measure(subject: Subject, on: string): readonly Task[] {
  const { animal, profile } = subject
  const needsLength = profile.condition.some((rule) => rule !== 'visualFive' && rule !== 'visualNine')
  const isDone = linesOf(subject.history, 'measured').some((line) =>
    isFrom(subject, line.at, addDays(on, -countsBefore)),
  )
  if (!needsLength || isDone) return []
  const sentence = say('Its condition is judged by length and mass together.')
  return [
    {
      kind: 'measure',
      title: say('Measure {animal}', { animal: animal.name }),
      on,
      sentence,
      evidence: 'derived',
    },
  ]
}

function weighBefore(subject: Subject, coolDay: string): readonly Task[] {
  const isDone = linesOf(subject.history, 'weighed').some((line) =>
    isFrom(subject, line.at, addDays(coolDay, -weighCountsBefore)),
  )
  if (isDone) return []
  return [
    {
      kind: 'weigh',
      title: say('Weigh {animal}', { animal: subject.animal.name }),
      on: addDays(coolDay, -weighAhead),
      sentence: say('The weigh-in before it is cooled: nobody goes down without one.'),
      source: null,
      evidence: 'derived',
    },
  ]
}

function lastMeal(
  subject: Subject,
  mark: PlanMark | undefined,
  fastDay: string,
  coolDay: string,
): readonly Task[] {
  const { animal, now, timeZone } = subject
  const today = localDate(now, timeZone)
  // Once the fast is over its last meal is past: the gate asks for it.
  if (mark === undefined || today >= coolDay) return []
  const counts = today > fastDay ? addDays(fastDay, -mealCountsBefore) : fastDay
  if (linesOf(subject.history, 'fed').some((line) => isFrom(subject, line.at, counts))) return []
  return [
    {
      ...sourced(mark),
      kind: 'lastMeal',
      title: say('Last meal of {animal}', { animal: animal.name }),
      on: fastDay,
    },
  ]
}

function baths(
  subject: Subject,
  figures: SeasonFigures,
  fastDay: string,
  coolDay: string,
  until: string,
): readonly Task[] {
  const { batheDays } = figures
  if (batheDays === undefined) return []
  const { animal, history, now, timeZone, guidance } = subject
  const today = localDate(now, timeZone)
  const every = wholeDays(figureOf(batheDays, guidance))
  const last = linesOf(history, 'bathed').findLast((line) => line.at <= now)
  const next = last === undefined ? fastDay : laterDay(fastDay, addDays(dayOf(last.at, timeZone), every))
  if (today >= coolDay) return []
  return repeated(next, every, today, until)
    .filter((on) => on < coolDay)
    .map((on) => ({
      kind: 'bathe',
      title: say('Bathe {animal}', { animal: animal.name }),
      on,
      sentence: say('While it fasts: it goes down with an empty gut and a full bladder.'),
      ...from(batheDays),
    }))
}

function beginCooling(subject: Subject, gate: Gate | null, on: string): Task {
  const missing = gate === null || gate.isOpen ? [] : gate.items.filter(({ standing }) => standing !== 'met')
  return {
    kind: 'beginCooling',
    title: say('Begin cooling {animal}', { animal: subject.animal.name }),
    on,
    sentence:
      missing.length > 0
        ? say('Not yet: {missing}', { missing: missing.map(({ sentence }) => sentence).join(' ') })
        : gate === null
          ? say('Say so on its plan, and its place follows.')
          : say('Every check is met. Say so on its plan, and its place follows.'),
    source: subject.profile.season?.coolPerWeek.source ?? null,
    evidence: subject.profile.season?.coolPerWeek.evidence ?? null,
  }
}

/** Noted on `date` or later, and not in the future. */
const isFrom = ({ now, timeZone }: Subject, at: Subject['now'], date: string): boolean =>
  at <= now && dayOf(at, timeZone) >= date

const sourced = ({ sentence, source, evidence }: PlanMark) => ({ sentence, source, evidence })
