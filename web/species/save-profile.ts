import type { SpeciesProfile } from '../../schemas/species.ts'
import { pathTo, type Answer } from '../page/ask.ts'
import type { Page } from '../page/page.ts'
import { say } from '../../shared/words/say.ts'

/** Saves a profile of the keeper's own under its own id. */
export async function saveProfile(page: Page, profile: SpeciesProfile): Promise<Answer<SpeciesProfile>> {
  const answer = await page.ask<SpeciesProfile>('PUT', pathTo('species', profile.id), profile)
  if (answer.ok) await page.refresh()
  return answer
}

/** Removes it, and offers the way back: the same profile put again. `onBack` follows either. */
export async function removeProfile(
  page: Page,
  profile: SpeciesProfile,
  onBack: () => void,
): Promise<Answer<null>> {
  const answer = await page.ask<null>('DELETE', pathTo('species', profile.id))
  if (!answer.ok) return answer
  page.undo.value = {
    sentence: say('Removed {common}.', { common: profile.common }),
    undo: async () => {
      const back = await saveProfile(page, profile)
      if (back.ok) onBack()
      else
        page.undo.value = {
          sentence: say('{common} could not be put back.', { common: profile.common }),
          undo: null,
        }
    },
  }
  await page.refresh()
  return answer
}
