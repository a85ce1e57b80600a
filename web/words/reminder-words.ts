import type { DiaryNote } from '../../schemas/diary.ts'
import type { Reminder, ReminderKind } from '../../schemas/season.ts'
import { pathOfNoting } from '../page/route.ts'
import { say } from '../../shared/words/say.ts'

/** What a tap notes where the fact is enough; `word` stands on the button, `said` in the sentence after it. */
export interface Tapped {
  readonly word: string
  readonly said: string
  readonly note: DiaryNote
}

export const tapOf: Partial<Record<ReminderKind, Tapped>> = {
  air: { word: say('Aired'), said: say('aired'), note: { kind: 'aired' } },
  look: { word: say('Looked'), said: say('looked at'), note: { kind: 'looked' } },
  drink: { word: say('Drank'), said: say('drank'), note: { kind: 'drank' } },
  bathe: { word: say('Bathed'), said: say('bathed'), note: { kind: 'bathed' } },
}

/** Where the rest is noted or begun; null where it is done on this page. */
export function whereOf({ kind, animal }: Reminder): { readonly word: string; readonly path: string } | null {
  const note = (as: DiaryNote['kind']): string =>
    animal === undefined ? '/animals' : pathOfNoting(animal, as)
  switch (kind) {
    case 'weigh':
    case 'hold':
      return { word: say('Weigh'), path: '/weigh' }
    case 'measure':
      return { word: say('Measure'), path: note('measured') }
    case 'faecesTest':
    case 'healthCheck':
      return { word: say('Answer'), path: note('checked') }
    case 'lastMeal':
    case 'firstMeal':
      return { word: say('Note the meal'), path: note('fed') }
    case 'urates':
      return { word: say('Note'), path: note('passed') }
    case 'vet':
      return { word: say('Note the visit'), path: note('vet') }
    case 'beginCooling':
    case 'beginWarming':
    case 'wakeNow':
      return { word: say('Its plan'), path: '/plan' }
    case 'look':
    case 'air':
    case 'bathe':
    case 'drink':
    case 'order':
    case 'count':
      return null
    default:
      return kind satisfies never
  }
}

/** `late since Mon 21 Dec`; empty for what is due today. */
export const lateWords = (reminders: readonly Reminder[], date: (on: string) => string): string => {
  const late = reminders.filter(({ standing }) => standing === 'late').map(({ on }) => on)
  const first = late.sort()[0]
  return first === undefined ? '' : say('late since {date}', { date: date(first) })
}
