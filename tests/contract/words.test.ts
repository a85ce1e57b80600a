import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import type { Catalogue } from '../../shared/words/say.ts'
import { bareTextsIn, type Text, textsIn } from '../support/texts.ts'

const texts = textsIn(['web', 'shared', 'daemon'])
const german = JSON.parse(
  readFileSync(new URL('../../shared/words/de.json', import.meta.url), 'utf8'),
) as Catalogue

/** Not more than a screen of them, each with where it is said. */
const shown = (some: readonly Text[]): string[] =>
  some.slice(0, 20).map(({ key, file, line }) => `${file}:${line} ${JSON.stringify(key)}`)

const partsOf = (text: string): string[] => (text.match(/\{\w+\}/g) ?? []).sort()
const endsOf = (text: string): string => `${/^\s*/.exec(text)?.[0]}|${/\s*$/.exec(text)?.[0]}`
const plain = (key: string): string => key.replace(/ #\w+$/, '')

describe('the words that a person reads', () => {
  test('each stands in the German file too (run: npm run words)', () => {
    expect(shown(texts.filter(({ key }) => (german[key] ?? '') === ''))).toEqual([])
  })

  test('the German file holds nothing that nobody says', () => {
    const said = new Set(texts.map(({ key }) => key))
    expect(
      Object.keys(german).filter((key) => !said.has(key.replace(/ #(?:few|many|two|zero|other|one)$/, ''))),
    ).toEqual([])
  })

  test('a translation fills in what the English does, and joins as it does', () => {
    const wrong = texts.filter(({ key }) => {
      const other = german[key] ?? ''
      return (
        other !== '' &&
        (partsOf(key).join() !== partsOf(other).join() || endsOf(plain(key)) !== endsOf(other))
      )
    })
    expect(shown(wrong)).toEqual([])
  })

  test('no text of the page stands outside the word list', () => {
    expect(shown(bareTextsIn(['web']).filter(({ key }) => key !== 'https://'))).toEqual([])
  })
})
