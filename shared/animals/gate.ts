import type { ConditionNow } from '../../schemas/condition.ts'
import type { Gate, GateItem } from '../../schemas/season.ts'
import { gutItem } from './gate-gut.ts'
import { healthItem } from './gate-health.ts'
import { gateItem } from './gate-item.ts'
import { ageItem, keptItem, massItem, weighedItem } from './gate-measures.ts'
import { planConflicts } from './plan-conflicts.ts'
import { holdOf } from './plan-days.ts'
import { linesOf, type Subject } from './subject.ts'
import { say, spokenLanguage } from '../words/say.ts'

/** What of the house the gate asks about. */
export interface GateFacts {
  readonly condition: ConditionNow
  /** The box it is to lie in: its name, and whether a working sensor judges it now. Null: no place. */
  readonly place: { readonly name: string; readonly isWatched: boolean } | null
  /** Whether some phone was heard to ring of late. */
  readonly hasRung: boolean
  /** Mean of its place since its last meal, °C; null or absent: nothing measured that. */
  readonly fastCelsius?: number | null
}

/** Whether the animal may go down by its draft (S1), begun now. */
export function gateOf(subject: Subject, facts: GateFacts): Gate {
  const items: readonly GateItem[] = [
    profileItem(subject),
    ageItem(subject),
    massItem(subject),
    keptItem(subject),
    weighedItem(subject),
    conditionItem(subject, facts.condition),
    healthItem(subject),
    gutItem(subject, facts.fastCelsius ?? null),
    placeItem(facts.place),
    alarmItem(facts.hasRung),
    capItem(subject),
  ]
  return { isOpen: items.every(({ standing }) => standing === 'met'), items: [...items] }
}

/** What is not met, in one sentence; the same words on every screen and in the journal. */
export function shutWords({ animal }: Pick<Subject, 'animal'>, { items }: Gate): string {
  const open = items.filter(({ standing }) => standing !== 'met')
  return say('{animal} may not go down yet: {open}.', {
    animal: animal.name,
    open: open.map((item) => within(item, animal.name)).join('; '),
  })
}

function profileItem({ profile }: Subject): GateItem {
  const mayGoDown = profile.season !== undefined && profile.hold !== undefined && profile.winter !== 'never'
  return mayGoDown
    ? gateItem(
        'profile',
        'met',
        say('{latin} ({common}) goes down for winter.', { latin: profile.latin, common: profile.common }),
      )
    : gateItem(
        'profile',
        'against',
        say('{latin} ({common}) must not go down for winter.', {
          latin: profile.latin,
          common: profile.common,
        }),
      )
}

/** `watch` is no bar. A reptile vet's word after the last weighing meets `vet`, never `block`. */
function conditionItem(subject: Subject, condition: ConditionNow): GateItem {
  const { verdict, sentence } = condition
  switch (verdict) {
    case 'pass':
    case 'watch':
      return gateItem('condition', 'met', sentence)
    case 'unknown':
      return gateItem('condition', 'missing', sentence)
    case 'vet':
      return isClearedSince(subject)
        ? gateItem(
            'condition',
            'met',
            say('A reptile vet has seen it since and lets it go down. {sentence}', { sentence }),
          )
        : gateItem('condition', 'against', sentence)
    case 'block':
      return gateItem('condition', 'against', sentence)
    default:
      return verdict satisfies never
  }
}

function isClearedSince({ history, now }: Subject): boolean {
  const until = history.filter(({ at }) => at <= now)
  const vet = linesOf(until, 'vet').at(-1)
  if (vet === undefined || !vet.note.clears) return false
  return !until.some(({ at, note }) => judgedBy.has(note.kind) && at > vet.at)
}

const judgedBy: ReadonlySet<string> = new Set(['weighed', 'measured', 'scored'])

function placeItem(place: GateFacts['place']): GateItem {
  if (place === null)
    return gateItem('place', 'missing', say('It has no place: say in which box it is to lie.'))
  return place.isWatched
    ? gateItem('place', 'met', say('A working sensor judges {place}.', { place: place.name }))
    : gateItem('place', 'missing', say('No working sensor judges {place} now.', { place: place.name }))
}

const alarmItem = (hasRung: boolean): GateItem =>
  hasRung
    ? gateItem('alarm', 'met', say('A phone was heard to ring within the last 30 days.'))
    : gateItem(
        'alarm',
        'missing',
        say('No phone has been heard to ring in the last 30 days: ring a contact and say that it rang.'),
      )

function capItem(subject: Subject): GateItem {
  const { draft } = subject.animal
  if (holdOf(draft) === null) return gateItem('cap', 'missing', say('No hold is planned.'))
  const conflict = planConflicts(subject, draft).find(({ kind }) => kind === 'tooLong')
  const figure = subject.profile.season?.mostWeeks ?? null
  if (conflict === undefined)
    return gateItem('cap', 'met', say('The hold is not longer than allowed.'), figure)
  const { sentence, source, evidence } = conflict
  return {
    check: 'cap',
    standing: conflict.weight === 'refused' ? 'against' : 'met',
    sentence,
    source,
    evidence,
  }
}

/** Its first sentence, small, to stand inside another; a name stays as it is. */
function within({ check, sentence }: GateItem, name: string): string {
  const [first = ''] = sentence.replace(/\.$/, '').split('. ')
  const isName = check === 'profile' || first.startsWith(name)
  // German keeps the capital of a sentence after a colon, and of a noun in any case
  return isName || spokenLanguage() !== 'en' ? first : first.charAt(0).toLowerCase() + first.slice(1)
}
