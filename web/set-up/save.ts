import { pathTo, type Answer } from '../page/ask.ts'
import type { Page } from '../page/page.ts'

export type Kind = 'places' | 'sensors' | 'animals'

/** Saves one of the household's things under its own id. */
export async function save<T extends { readonly id: string }>(
  page: Page,
  kind: Kind,
  thing: T,
): Promise<Answer<T>> {
  const answer = await page.ask<T>('PUT', pathTo(kind, thing.id), thing)
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
    sentence: `Removed ${thing.name}.`,
    undo: async () => {
      const back = await save(page, kind, thing)
      if (!back.ok) page.undo.value = { sentence: `${thing.name} could not be put back.`, undo: null }
    },
  }
  await page.refresh()
  return answer
}
