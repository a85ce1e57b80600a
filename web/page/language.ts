import germanWords from '../../shared/words/de.json?url'
import { type Catalogue, speak } from '../../shared/words/say.ts'
import { wordsCache, wordsPath } from './kept.ts'

/** What this page can be read in: each is one file of words. English is in the code. */
export const languages = [
  { code: 'en', name: 'English', words: null },
  { code: 'de', name: 'Deutsch', words: germanWords },
] as const

export type LanguageCode = (typeof languages)[number]['code']

/** Where this browser keeps the choice. */
const choiceKey = 'brumal-language'

/** What was chosen here, else the first that the browser asks for and we have, else English. */
function chosenLanguage(): LanguageCode {
  const wanted = [kept(), ...navigator.languages.map((tag) => tag.slice(0, 2).toLowerCase())]
  return languages.find(({ code }) => wanted.find(isOurs) === code)?.code ?? 'en'
}

/**
 * Speaks the reader's language from here on. Called before any screen is loaded, since tables of words are made as they
 * load. Words that cannot be fetched are no reason to show nothing: the page is English then.
 */
export async function speakChosen(): Promise<void> {
  const code = chosenLanguage()
  const address = languages.find((one) => one.code === code)?.words ?? null
  try {
    if (address !== null) {
      const answer = await fetch(address)
      if (!answer.ok) return
      speak({ language: code, catalogue: (await answer.clone().json()) as Catalogue })
      void keepForWorker(code, answer)
    } else if (kept() !== null) void keepForWorker(code, new Response('{}'))
    document.documentElement.lang = code
  } catch {
    // the network went away, or the file is not what it was: English
  }
}

/** Keeps the choice in this browser and shows the page again in it. */
export function chooseLanguage(code: LanguageCode): void {
  try {
    localStorage.setItem(choiceKey, code)
  } catch {
    // a browser that keeps nothing goes by its own language
  }
  location.reload()
}

const isOurs = (code: string | null): boolean => languages.some((one) => one.code === code)

function kept(): string | null {
  try {
    return localStorage.getItem(choiceKey)
  } catch {
    return null
  }
}

/** A notification at night is shown by the worker alone, which knows nothing of a page's choice. */
async function keepForWorker(code: string, words: Response): Promise<void> {
  if (!('caches' in globalThis)) return // over plain http there is no worker either
  const headers = { 'content-type': 'application/json', 'content-language': code }
  await (await caches.open(wordsCache)).put(wordsPath, new Response(await words.text(), { headers }))
}
