import type { Outcome } from '../../daemon/ports/outcome.ts'
import type { PlanRefusal, SeasonDesk } from '../../daemon/ports/season.ts'
import type { Animal } from '../../schemas/animal.ts'
import type { Household } from '../../schemas/household.ts'
import type { AnimalId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Instant } from '../../schemas/units.ts'
import { begunAt, warmedFrom } from '../../shared/animals/begun.ts'
import { gateOf, shutWords } from '../../shared/animals/gate.ts'
import { conflictsOf, proposePlan } from '../../shared/animals/plan.ts'
import { marksOf } from '../../shared/animals/plan-marks.ts'
import type { Subject } from '../../shared/animals/subject.ts'
import { isColdAt } from '../../shared/animals/cold-ahead.ts'
import { phaseAt } from '../../shared/judging/phase-at.ts'
import { aTortoise } from './season-profiles.ts'

export interface SeasonForHttpWorld {
  readonly household: () => Household
  readonly save: (next: Household) => void
  readonly now: () => Instant
  readonly done: (kind: JournalEntry['kind'], by: string, text: string, about?: Partial<JournalEntry>) => void
}

/** The winters of a desk over HTTP, kept in memory: every animal is a tortoise of which nothing was ever noted. */
export function seasonForHttp({
  household,
  save,
  now,
  done,
}: SeasonForHttpWorld): Pick<
  SeasonDesk,
  'season' | 'standing' | 'propose' | 'saveDraft' | 'beginCooling' | 'beginWarming'
> {
  const subjectOf = (id: AnimalId): Subject | null => {
    const animal = household().animals.find((one) => one.id === id)
    if (animal === undefined) return null
    const { guidance, timeZone } = household()
    return { animal, profile: aTortoise, guidance, history: [], now: now(), timeZone }
  }
  const gateFor = (subject: Subject) =>
    gateOf(subject, {
      condition: { verdict: 'unknown', sentence: 'It was never weighed.', findings: [], trend: null },
      place: null,
      hasRung: false,
    })
  const wake = { standing: 'no', reasons: [] } as const
  const keep = (
    animal: Animal,
    kind: JournalEntry['kind'],
    by: string,
    text: string,
  ): Outcome<Animal, PlanRefusal> => {
    const animals = household().animals.map((one) => (one.id === animal.id ? animal : one))
    save({ ...household(), animals })
    done(kind, by, text, { animal: animal.id })
    return { ok: true, value: animal }
  }

  return {
    season: () => ({
      season: '2026/27',
      from: now(),
      to: now(),
      at: now(),
      rows: household().animals.flatMap(({ id }) => {
        const subject = subjectOf(id)
        if (subject === null) return []
        const { animal } = subject
        return {
          animal: id,
          species: animal.species,
          place: animal.place,
          phase: phaseAt(animal, now()).phase,
          plan: animal.plan,
          draft: animal.draft,
          marks: marksOf(subject, animal.draft),
          conflicts: [...conflictsOf(subject, animal.draft)],
          gate: animal.draft.length > 0 ? gateFor(subject) : null,
          wake: { ...wake, reasons: [] },
        }
      }),
      wakeFirst: [],
      cultures: [],
    }),
    standing(id) {
      const subject = subjectOf(id)
      if (subject === null) return noSuchAnimal
      const condition = {
        verdict: 'unknown',
        sentence: 'It was never weighed.',
        findings: [],
        trend: null,
      } as const
      return {
        ok: true,
        value: {
          animal: id,
          phase: phaseAt(subject.animal, now()).phase,
          years: null,
          condition: { ...condition, findings: [] },
          mass: null,
          gate: subject.animal.draft.length > 0 ? gateFor(subject) : null,
          wake: { ...wake, reasons: [] },
          waking: [],
          reminders: [],
          doubt: null,
        },
      }
    },
    propose(id, wish) {
      const subject = subjectOf(id)
      return subject === null ? noSuchAnimal : { ok: true, value: proposePlan(subject, wish) }
    },
    saveDraft(id, { steps, wish }, by, anyway) {
      const subject = subjectOf(id)
      if (subject === null) return noSuchAnimal
      const refused = conflictsOf(subject, [...steps]).filter(({ weight }) => weight === 'refused')
      const [first] = refused
      if (first !== undefined && anyway === undefined)
        return { ok: false, error: 'pastCap', sentence: first.sentence }
      const { wish: _, ...rest } = subject.animal
      const animal = { ...rest, draft: [...steps], ...(wish === null ? {} : { wish }) }
      return keep(animal, 'changed', by, `Planned. ${anyway ?? ''}`)
    },
    beginCooling(id, by, anyway) {
      const subject = subjectOf(id)
      if (subject === null) return noSuchAnimal
      const steps = begunAt(subject)
      if (steps === null)
        return { ok: false, error: 'nothingPlanned', sentence: 'No winter is planned for it.' }
      const gate = gateFor(subject)
      if (!gate.isOpen && anyway === undefined)
        return { ok: false, error: 'notReady', sentence: shutWords(subject, gate) }
      const animal = { ...subject.animal, plan: [...steps], draft: [] }
      return keep(animal, 'coolingBegan', by, `Cooling began. ${anyway ?? ''}`)
    },
    beginWarming(id, by, why) {
      const subject = subjectOf(id)
      if (subject === null) return noSuchAnimal
      if (!isColdAt(subject.animal.plan, now()))
        return { ok: false, error: 'notDown', sentence: 'It is not in the cold.' }
      return keep({ ...subject.animal, plan: [...warmedFrom(subject)] }, 'warmingBegan', by, why)
    },
  }
}

const noSuchAnimal = { ok: false, error: 'noSuchAnimal', sentence: 'There is no such animal.' } as const
