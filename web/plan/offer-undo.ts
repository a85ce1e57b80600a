import type { Animal } from '../../schemas/animal.ts'
import { pathTo, query } from '../page/ask.ts'
import type { Page } from '../page/page.ts'
import { say } from '../../shared/words/say.ts'

/** Says what was done, and offers to put the animal's plan back as it had been. */
export function offerUndo(page: Page, before: Animal, sentence: string, onDone: () => void): void {
  page.undo.value = {
    sentence,
    undo: async () => {
      const anyway = say('put back as it had been before')
      const back = await page.ask<Animal>('PUT', pathTo('animals', before.id) + query({ anyway }), before)
      if (!back.ok)
        page.undo.value = {
          sentence: say('The plan of {before} could not be put back.', { before: before.name }),
          undo: null,
        }
      await page.refresh()
      onDone()
    },
  }
}
