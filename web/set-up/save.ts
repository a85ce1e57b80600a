import { pathTo, query, type Answer } from '../page/ask.ts'
import type { Page } from '../page/page.ts'
import { say } from '../../shared/words/say.ts'

export type Kind = 'places' | 'sensors' | 'animals'

/**
 * Saves one of the household's things under its own id. `anyway` is the reason for sending an animal down though something
 * is missing (S1).
 */
export async function save<T extends { readonly id: string }>(
  page: Page,
  kind: Kind,
  thing: T,
  anyway: string | null = null,
): Promise<Answer<T>> {
  const answer = await page.ask<T>('PUT', pathTo(kind, thing.id) + query({ anyway }), thing)
  if (answer.ok) await page.refresh()
  return answer
}

/** Removes it, and offers the way back: the same thing put again. */
export async function remove(
  page: Page,
  kind: Kind,
  thing: { readonly id: string; readonly name: string },
): Promise<Answer<null>> {
  const answer = await page.ask<null>('DELETE', pathTo(kind, thing.id))
  if (!answer.ok) return answer
  page.undo.value = {
    sentence: say('Removed {thing}.', { thing: thing.name }),
    undo: async () => {
      const anyway = kind === 'animals' ? say('put back as it had been before it was removed') : null
      const back = await save(page, kind, thing, anyway)
      if (!back.ok)
        page.undo.value = {
          sentence: say('{thing} could not be put back.', { thing: thing.name }),
          undo: null,
        }
    },
  }
  await page.refresh()
  return answer
}
