import { instant } from '../../schemas/amounts.ts'
import type { DiaryEntry, DiaryLine } from '../../schemas/diary.ts'
import type { ReminderGroup } from '../../shared/animals/reminder-groups.ts'
import { freshEntryId } from '../diary/entry-id.ts'
import { pathTo, sentenceOf, type Answer } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import type { Tapped } from '../words/reminder-words.ts'
import { say } from '../../shared/words/say.ts'

/** Notes with one tap that a group was done, one entry each, and offers the way back for all. */
export function useTap(onChange: () => void) {
  const page = usePage()

  /** The first that fails ends it: what went before stands, and is shown. */
  async function each<Thing, T>(things: readonly Thing[], ask: (thing: Thing) => Promise<Answer<T>>) {
    let answer: Answer<T> | null = null
    for (const thing of things) {
      answer = await ask(thing)
      if (!answer.ok) break
    }
    onChange()
    return answer
  }

  return async (group: ReminderGroup, tapped: Tapped): Promise<Answer<unknown>> => {
    const entries = entriesOf(group, tapped, page.now.peek())
    const answer = await each(entries, (entry) =>
      page.ask<DiaryLine>('PUT', pathTo('diary', entry.id), entry),
    )
    if (answer?.ok === true)
      page.undo.value = {
        sentence: say('Noted: {title}.', { title: group.title }),
        async undo() {
          const undone = await each(entries, ({ id }) => page.ask<null>('DELETE', pathTo('diary', id)))
          if (undone?.ok === false)
            page.undo.value = {
              sentence: say('Not taken back: {sentence}', { sentence: sentenceOf(undone.problem) }),
              undo: null,
            }
        },
      }
    return answer ?? { ok: true, value: null }
  }
}

/** Of an animal where it is one's, else of the place. */
function entriesOf({ reminders }: ReminderGroup, { note }: Tapped, now: number): readonly DiaryEntry[] {
  return reminders.flatMap(({ kind, animal, place }): DiaryEntry[] => {
    const of = kind !== 'air' && animal !== undefined ? { animal } : place !== undefined ? { place } : null
    return of === null ? [] : [{ id: freshEntryId(), at: instant(now), ...of, note }]
  })
}
