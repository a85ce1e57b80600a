import { type Catalogue, speak } from '../../shared/words/say.ts'
import { wordsCache, wordsPath } from '../page/kept.ts'

/** Speaks as the page was last read on this phone. Whatever goes wrong, English is spoken: never silent. */
export async function speakKept(): Promise<void> {
  try {
    const answer = await (await caches.open(wordsCache)).match(wordsPath)
    const language = answer?.headers.get('content-language') ?? null
    if (answer !== undefined && language !== null)
      speak({ language, catalogue: (await answer.json()) as Catalogue })
  } catch {
    // no words kept
  }
}
