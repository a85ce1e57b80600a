import { readFileSync } from 'node:fs'
import { readAs, reader } from '../../shared/words/reader.ts'
import { type Catalogue, speak } from '../../shared/words/say.ts'

/**
 * Speaks the language of the settings from here on, and writes its numbers and dates. Before anything is loaded that
 * speaks: tables of words keep the language in which they were made. Throws where the file of words is missing, which is
 * a broken installation.
 */
export function speakIn(language: string): void {
  if (language === 'en') return // in the code
  const file = new URL(`../../shared/words/${language}.json`, import.meta.url)
  speak({ language, catalogue: JSON.parse(readFileSync(file, 'utf8')) as Catalogue })
  readAs({ ...reader(), locale: language }) // with its comma
  // its decimal point too: what goes to a phone is read by nobody's browser that could put it right
  readAs({ ...reader(), locale: language })
}
