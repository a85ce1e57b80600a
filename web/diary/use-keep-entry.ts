import type { DiaryEntry, DiaryLine } from '../../schemas/diary.ts'
import { pathTo, sentenceOf, type Answer } from '../page/ask.ts'
import type { Page } from '../page/page.ts'
import { usePage } from '../page/use-page.ts'
import { say } from '../../shared/words/say.ts'

export interface KeepEntry {
  /** Puts an entry in, or in the place of `before`, and offers the way back. */
  save(entry: DiaryEntry, sentence: string, around?: Around): Promise<Answer<DiaryLine>>
  /** Takes one out, and offers to put it back. */
  remove(line: DiaryLine, sentence: string, around?: Around): Promise<Answer<null>>
}

interface Around {
  readonly before?: DiaryLine | null
  /** Something changed: by this, or by taking it back. */
  readonly onChange?: () => void
  readonly onUndone?: () => void
}

export function useKeepEntry(): KeepEntry {
  const page = usePage()
  return {
    async save(entry, sentence, { before = null, onChange, onUndone } = {}) {
      const answer = await page.ask<DiaryLine>('PUT', pathTo('diary', entry.id), entry)
      if (!answer.ok) return answer
      onChange?.()
      offer(page, sentence, async () => {
        const undone =
          before === null
            ? await page.ask<null>('DELETE', pathTo('diary', entry.id))
            : await page.ask<DiaryLine>('PUT', pathTo('diary', entry.id), entryOf(before))
        if (undone.ok) onUndone?.()
        onChange?.()
        return undone
      })
      return answer
    },
    async remove(line, sentence, { onChange, onUndone } = {}) {
      const answer = await page.ask<null>('DELETE', pathTo('diary', line.id))
      if (!answer.ok) return answer
      onChange?.()
      offer(page, sentence, async () => {
        const undone = await page.ask<DiaryLine>('PUT', pathTo('diary', line.id), entryOf(line))
        if (undone.ok) onUndone?.()
        onChange?.()
        return undone
      })
      return answer
    },
  }
}

function offer(page: Page, sentence: string, takeBack: () => Promise<Answer<unknown>>): void {
  page.undo.value = {
    sentence,
    async undo() {
      const undone = await takeBack()
      if (!undone.ok)
        page.undo.value = {
          sentence: say('Not taken back: {sentence}', { sentence: sentenceOf(undone.problem) }),
          undo: null,
        }
    },
  }
}

/** A line as it was sent. */
const entryOf = ({ by: _by, notedAt: _notedAt, ...entry }: DiaryLine): DiaryEntry => entry
