import { readFileSync, writeFileSync } from 'node:fs'
import type { Catalogue } from '../../shared/words/say.ts'
import { textsIn } from '../support/texts.ts'

/*
 * Brings the files of words up to what the code says: `npm run words`. New texts are added without a translation, texts
 * that nobody says any more go. What stands under another key by now has to be translated anew: a text is its own key.
 */
const keys = [...new Set(textsIn(['web', 'shared', 'daemon']).map(({ key }) => key))].sort((one, other) =>
  one.toLowerCase() < other.toLowerCase() ? -1 : 1,
)

for (const language of ['de']) {
  const file = new URL(`../../shared/words/${language}.json`, import.meta.url)
  const before = JSON.parse(readFileSync(file, 'utf8')) as Catalogue
  const after = Object.fromEntries(keys.map((key) => [key, before[key] ?? '']))
  writeFileSync(file, `${JSON.stringify(after, null, 2)}\n`)
  const missing = keys.filter((key) => after[key] === '').length
  const gone = Object.keys(before).filter((key) => after[key] === undefined).length
  console.log(`${language}: ${keys.length} texts, ${missing} without a translation, ${gone} gone`)
}
