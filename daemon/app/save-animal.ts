import { hours } from '../../schemas/amounts.ts'
import type { Animal } from '../../schemas/animal.ts'
import type { DiaryLine } from '../../schemas/diary.ts'
import type { Gate } from '../../schemas/season.ts'
import type { Instant } from '../../schemas/units.ts'
import { coldAhead, holdAhead, isColdAt, isWithin } from '../../shared/animals/cold-ahead.ts'
import { isWithinFast } from '../../shared/animals/gate-gut.ts'
import { shutWords } from '../../shared/animals/gate.ts'
import { linesOf, type Subject } from '../../shared/animals/subject.ts'
import type { Desk } from '../ports/desk.ts'
import type { EditRefusal } from '../ports/household.ts'
import type { Outcome } from '../ports/outcome.ts'
import { subjectOf } from './animal-subject.ts'
import { objectionTo, withOne } from './edits.ts'
import { notStored } from './not-stored.ts'
import type { SeasonWorld } from './season-world.ts'
import type { Judges } from './standing.ts'
import { stored } from './stored.ts'
import { actLine } from './winter-acts.ts'
import { say } from '../../shared/words/say.ts'

/** An act can be taken back for so long: the button for it stands on the screen of whoever did it. */
const takenBackWithin = hours(1)

/**
 * Saves an animal as a form, a script or an undo gives it. What sends it into the cold anew passes the gate (S1); what
 * takes it out of the cold, or puts it back as it was before a slip of the hand, does not.
 */
export function savesAnimal(world: SeasonWorld, judges: Judges): Pick<Desk, 'saveAnimal'> {
  const { house, diary, clock } = world
  const household = () => house.state().layout.household

  return {
    saveAnimal(animal, by, anyway) {
      const now = clock.now()
      const before = household().animals.find(({ id }) => id === animal.id)
      const subject = subjectOf(world, animal)
      const [was, is] = [coldAhead(before?.plan ?? [], now), coldAhead(animal.plan, now)]
      const act = subject === null ? none : actOf(subject, before, was, is)
      const keep = (text: string, lines: readonly DiaryLine[] = []): Outcome<Animal, EditRefusal> => {
        const about = { animal: animal.id, ...(animal.place === null ? {} : { place: animal.place }) }
        const next = withOne(household(), 'animals', animal)
        const saved = world.save(next, by, text, 'changed', about, lines)
        if (!saved.ok) return saved
        if (lines.length > 0) house.publish({ kind: 'diary', animal: animal.id })
        return { ok: true, value: animal }
      }
      switch (act.kind) {
        case 'none':
          return keep(say('Saved {animal}.', { animal: animal.name }))
        case 'takenBack': {
          // Hidden first: an animal that lies in the cold must not stand in the diary as woken.
          if (!stored(() => diary.removeEntries([act.line.id], by, now))) return notStored
          const kept = keep(
            say('Saved {animal}: {takenBack} was taken back.', {
              animal: animal.name,
              takenBack: takenBackWords[act.line.note.kind],
            }),
          )
          if (!kept.ok) stored(() => diary.saveEntries([act.line]))
          else house.publish({ kind: 'diary', animal: animal.id })
          return kept
        }
        case 'ended': {
          const why = say('Its plan was changed by hand.')
          return keep(say('Saved {animal}: out of the cold by its plan.', { animal: animal.name }), [
            actLine(animal.id, now, by, { kind: 'warmingBegan', why }),
          ])
        }
        case 'down': {
          // What no reason can mend is said first.
          const objection = objectionTo(withOne(household(), 'animals', animal), world.catalogue, now)
          if (objection !== null) return { ok: false, ...objection }
          const gate = gateFor(act.subject, act.isLonger)
          if (!gate.isOpen && anyway === undefined)
            return { ok: false, error: 'notReady', sentence: shutWords({ animal }, gate) }
          const though = gate.isOpen
            ? ''
            : say(' The reason given: {reason}. {shut}', {
                reason: (anyway ?? say('none')).replace(/\.$/, ''),
                shut: shutWords({ animal }, gate),
              })
          return keep(
            say('Saved {animal}.{though}', { animal: animal.name, though }),
            act.isLonger ? [] : wentDown(act.subject, by, gate, anyway),
          )
        }
        default:
          return act satisfies never
      }
    },
  }

  /** Of one that is down already only the length of its hold is asked about. */
  function gateFor({ animal, ...subject }: Subject, isLonger: boolean): Gate {
    const gate = judges.gateOf({ ...subject, animal: { ...animal, draft: animal.plan } })
    if (!isLonger) return gate
    const items = gate.items.filter(({ check }) => check === 'cap')
    return { isOpen: items.every(({ standing }) => standing === 'met'), items }
  }

  /** An animal that lay in the cold when Brumal came stands in the diary from that day on; put back again, only once. */
  function wentDown(subject: Subject, by: string, gate: Gate, anyway: string | undefined): DiaryLine[] {
    const { animal, now, history } = subject
    const [first] = coldAhead(animal.plan, 0 as Instant).filter(({ to }) => to === null || to > now)
    const at = Math.min(first?.from ?? now, now) as Instant
    if (linesOf(history, 'coolingBegan').some((line) => line.at === at)) return []
    const note = {
      kind: 'coolingBegan' as const,
      steps: animal.plan,
      ...(gate.isOpen || anyway === undefined ? {} : { anyway }),
    }
    return [{ ...actLine(animal.id, at, by, note), notedAt: now }]
  }
}

type Spans = ReturnType<typeof coldAhead>

type ColdAct =
  | { readonly kind: 'none' }
  | { readonly kind: 'ended' }
  | { readonly kind: 'takenBack'; readonly line: TakenBack }
  | { readonly kind: 'down'; readonly subject: Subject; readonly isLonger: boolean }

type TakenBack = DiaryLine & { readonly note: { readonly kind: 'coolingBegan' | 'warmingBegan' } }

const none: ColdAct = { kind: 'none' }

/** What saving does to the cold of an animal. */
function actOf(subject: Subject, before: Animal | undefined, was: Spans, is: Spans): ColdAct {
  const { history, now } = subject
  const isRecent = ({ at }: DiaryLine): boolean => at <= now && now - at <= takenBackWithin
  if (isWithin(is, was)) {
    if (before === undefined || !isColdAt(before.plan, now) || isColdAt(subject.animal.plan, now)) return none
    const began = linesOf(history, 'coolingBegan').at(-1)
    return began !== undefined && isRecent(began) ? { kind: 'takenBack', line: began } : { kind: 'ended' }
  }
  const woken = linesOf(history, 'warmingBegan').at(-1)
  const cooled = linesOf(history, 'coolingBegan').at(-1)
  if (woken !== undefined && isRecent(woken) && cooled !== undefined && cooled.at <= woken.at) {
    const { steps } = cooled.note
    const asItWas =
      isWithin(is, coldAhead(steps, now)) &&
      isWithin(holdAhead(subject.animal.plan, now), holdAhead(steps, now))
    if (asItWas && !hasEatenSince(subject, cooled, woken)) return { kind: 'takenBack', line: woken }
  }
  return { kind: 'down', subject, isLonger: before !== undefined && isColdAt(before.plan, now) }
}

/**
 * Whoever has eaten must not go back into the cold (common practice): the gate asks for its fast. Eaten since it was
 * woken, or by what was noted only after it had gone down, when the gate knew nothing of it.
 */
function hasEatenSince(subject: Subject, cooled: DiaryLine, woken: DiaryLine): boolean {
  return linesOf(subject.history, 'fed').some(
    ({ at, notedAt, note }) =>
      note.eaten !== 'none' &&
      at <= subject.now &&
      (at >= woken.at || (notedAt >= cooled.notedAt && isWithinFast(subject, at))),
  )
}

const takenBackWords = {
  coolingBegan: say('the beginning of its cooling'),
  warmingBegan: say('the beginning of its warming'),
} as const
