import type { Animal, PlanStep } from '../../schemas/animal.ts'
import type { DiaryLine, DiaryNote } from '../../schemas/diary.ts'
import type { AnimalId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { PlanConflict } from '../../schemas/season.ts'
import type { Instant } from '../../schemas/units.ts'
import { begunAt, warmedFrom } from '../../shared/animals/begun.ts'
import { coldOf } from '../../shared/animals/cold.ts'
import { dayWords } from '../../shared/animals/day-words.ts'
import { shutWords } from '../../shared/animals/gate.ts'
import { holdOf } from '../../shared/animals/plan-days.ts'
import { entryId } from '../../shared/diary/entry-id.ts'
import { localDate } from '../../shared/time/wall.ts'
import type { EditRefusal } from '../ports/household.ts'
import type { Outcome } from '../ports/outcome.ts'
import type { PlanRefusal, SeasonDesk } from '../ports/season.ts'
import { animalIn, subjectOf } from './animal-subject.ts'
import { withOne } from './edits.ts'
import type { SeasonWorld } from './season-world.ts'
import type { Judges } from './standing.ts'
import { say } from '../../shared/words/say.ts'

type Acts = Pick<SeasonDesk, 'saveDraft' | 'beginCooling' | 'beginWarming'>

/** What people do to a winter: each act and its line of the diary are one transaction. */
export function openWinterActs(
  world: SeasonWorld,
  by: {
    readonly judges: Judges
    readonly conflictsNow: (animal: Animal, steps: readonly PlanStep[]) => readonly PlanConflict[]
  },
): Acts {
  const { house, clock } = world
  const household = () => house.state().layout.household
  const zone = () => household().timeZone

  function keep(
    animal: Animal,
    who: string,
    text: string,
    kind: JournalEntry['kind'],
    lines: readonly DiaryLine[] = [],
  ): Outcome<Animal, PlanRefusal> {
    const about = { animal: animal.id, ...(animal.place === null ? {} : { place: animal.place }) }
    const saved = world.save(withOne(household(), 'animals', animal), who, text, kind, about, lines)
    if (!saved.ok) return { ok: false, error: planRefusalOf(saved.error), sentence: saved.sentence }
    if (lines.length > 0) house.publish({ kind: 'diary', animal: animal.id })
    return { ok: true, value: animal }
  }

  return {
    saveDraft(id, { steps, wish }, who, anyway) {
      const known = animalIn(world, id)
      if (known === undefined) return noSuchAnimal
      if (subjectOf(world, known) === null) return noSuchSpecies(known)
      const { wish: _, ...rest } = known
      const animal: Animal = { ...rest, draft: [...steps], ...(wish === null ? {} : { wish }) }
      if (steps.length === 0)
        return keep(
          animal,
          who,
          say('Nothing is planned for {animal} any more.', { animal: animal.name }),
          'changed',
        )
      const refused = by.conflictsNow(animal, steps).filter(({ weight }) => weight === 'refused')
      const words = refused.map(({ sentence }) => sentence).join(' ')
      const first = refused[0]
      if (refused.some(({ kind }) => kind === 'neverDown'))
        return { ok: false, error: 'mustNotGoDown', sentence: words }
      if (first !== undefined && anyway === undefined)
        return {
          ok: false,
          error: refused.every(({ kind }) => kind === 'boxMates') ? 'bandsConflict' : 'pastCap',
          sentence: words,
        }
      const though =
        first === undefined ? '' : say(' {because} Against it: {words}', { because: because(anyway), words })
      return keep(
        animal,
        who,
        say('Planned the winter of {animal}: {hold}.{though}', {
          animal: animal.name,
          hold: holdWords(steps, zone()),
          though,
        }),
        'changed',
      )
    },

    beginCooling(id, who, anyway) {
      const known = animalIn(world, id)
      if (known === undefined) return noSuchAnimal
      const subject = subjectOf(world, known)
      if (subject === null) return noSuchSpecies(known)
      const { profile, now } = subject
      if (profile.season === undefined || profile.hold === undefined || profile.winter === 'never')
        return {
          ok: false,
          error: 'mustNotGoDown',
          sentence: say('{common} ({latin}) must not go down for winter.', {
            common: profile.common,
            latin: profile.latin,
          }),
        }
      const cold = coldOf(subject)
      if (cold !== null) return begunAlready(known, cold.downAt, zone())
      if (holdOf(known.draft) === null)
        return {
          ok: false,
          error: 'nothingPlanned',
          sentence: say('No winter is planned for {known}. Plan it first.', { known: known.name }),
        }
      const steps = begunAt(subject)
      if (steps === null || holdOf(steps) === null)
        return {
          ok: false,
          error: 'nothingPlanned',
          sentence: say('Begun now, no hold would be left before {known} is woken. Plan its winter anew.', {
            known: known.name,
          }),
        }
      const gate = by.judges.gateOf({ ...subject, animal: { ...known, draft: [...steps] } })
      if (!gate.isOpen && anyway === undefined)
        return { ok: false, error: 'notReady', sentence: shutWords(subject, gate) }
      const { wish: _, ...rest } = known
      const animal: Animal = { ...rest, mode: 'goesDown', plan: [...steps], draft: [] }
      const line = actLine(animal.id, now, who, {
        kind: 'coolingBegan',
        steps: [...steps],
        ...(gate.isOpen || anyway === undefined ? {} : { anyway }),
      })
      const though = gate.isOpen ? '' : ` ${because(anyway)} ${shutWords(subject, gate)}`
      return keep(
        animal,
        who,
        say('Cooling of {animal} began: {hold}.{though}', {
          animal: animal.name,
          hold: holdWords(steps, zone()),
          though,
        }),
        'coolingBegan',
        [line],
      )
    },

    beginWarming(id, who, why) {
      const known = animalIn(world, id)
      if (known === undefined) return noSuchAnimal
      const subject = subjectOf(world, known)
      if (subject === null) return noSuchSpecies(known)
      if (coldOf(subject) === null)
        return {
          ok: false,
          error: 'notDown',
          sentence: say('{known} is not in the cold.', { known: known.name }),
        }
      const animal: Animal = { ...known, plan: [...warmedFrom(subject)] }
      const line = actLine(animal.id, clock.now(), who, { kind: 'warmingBegan', why })
      return keep(
        animal,
        who,
        say('Warming of {animal} began: {why}', { animal: animal.name, why }),
        'warmingBegan',
        [line],
      )
    },
  }
}

/** An act as the diary keeps it; of the same act the id is the same. */
export function actLine(animal: AnimalId, at: Instant, by: string, note: DiaryNote): DiaryLine {
  const entry = { animal, at, note }
  return { ...entry, id: entryId(entry), by: by.slice(0, 60), notedAt: at }
}

/** `in hold from 12 November to 4 February`. */
function holdWords(steps: readonly PlanStep[], zone: string): string {
  const hold = holdOf(steps)
  if (hold === null) return say('without a hold')
  const from = dayWords(localDate(hold.from, zone))
  return hold.to === null
    ? say('in hold from {from}', { from })
    : say('in hold from {from} to {to}', { from, to: dayWords(localDate(hold.to, zone)) })
}

const because = (anyway = say('none')): string =>
  say('The reason given: {reason}.', { reason: anyway.replace(/\.$/, '') })

const noSuchAnimal = { ok: false, error: 'noSuchAnimal', sentence: say('There is no such animal.') } as const

const noSuchSpecies = ({ species }: Animal) =>
  ({
    ok: false,
    error: 'noSuchSpecies',
    sentence: say('No profile is known for the species {species}.', { species }),
  }) as const

const begunAlready = ({ name }: Animal, downAt: Instant, zone: string) =>
  ({
    ok: false,
    error: 'nothingPlanned',
    sentence: say('The cooling of {name} has begun already, on {day}.', {
      name,
      day: dayWords(localDate(downAt, zone)),
    }),
  }) as const

/** An animal's own refusals; of anything else the household was as wrong before, and nothing here changed it. */
function planRefusalOf(error: EditRefusal): PlanRefusal {
  switch (error) {
    case 'noSuchPlace':
    case 'noSuchSpecies':
    case 'bandsConflict':
    case 'tooMany':
    case 'mustNotGoDown':
    case 'notStored':
      return error
    case 'badPlan':
      return 'pastCap'
    default:
      throw new Error(`A household that stood before cannot stand now: ${error}.`)
  }
}
