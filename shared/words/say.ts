/**
 * Every word that a person reads. The English text is its own key, so that the code reads as what is seen; another
 * language is one file of texts by that key (`de.json`). A text may end in a hint for translators, which is never shown:
 * `open #door`.
 */
export type Catalogue = Readonly<Record<string, string>>

/** Undefined where a list turned out shorter than its reader trusted: the braces stay, and are seen. */
export type Part = string | number | undefined

/** The names in braces of a text: `'noted' | 'name'` for `{name}: {noted}.` */
export type PartsOf<Text extends string> = Text extends `${string}{${infer Name}}${infer Rest}`
  ? Name | PartsOf<Rest>
  : never

let catalogue: Catalogue = {}
let language = 'en'

/**
 * Changes the language of this process or page. Called once at the start, before whatever speaks is loaded: a table of
 * words keeps the language in which it was made. The one thing of the core that is not an argument, since a reader's
 * language goes through every function that makes a sentence and decides nothing.
 */
export function speak(words: { readonly language: string; readonly catalogue: Catalogue }): void {
  catalogue = words.catalogue
  language = words.language
}

/** The language spoken now, as BCP 47 names it: `en`, `de`. */
export const spokenLanguage = (): string => language

/** A text in the language spoken, its parts filled in. A text that the catalogue lacks is said in English. */
export function say<Text extends string>(
  english: Text,
  ...[parts]: PartsOf<Text> extends never ? [] : [parts: Readonly<Record<PartsOf<Text>, Part>>]
): string {
  const text = translated(english)
  if (parts === undefined) return text
  const given: Readonly<Record<string, Part>> = parts
  return text.replace(/\{(\w+)\}/g, (whole, name: string) => String(given[name] ?? whole))
}

/**
 * A text that counts: `sayCount(3, '{n} night', '{n} nights')`. A language with more forms than two has them as
 * `{n} nights #few` and so on, by the names of Unicode's plural rules (CLDR, as in `Intl.PluralRules`).
 */
export function sayCount<Text extends string>(
  n: number,
  one: string,
  many: Text,
  parts: Readonly<Record<Exclude<PartsOf<Text>, 'n'>, Part>> & { readonly n?: Part } = {} as never,
): string {
  const form = new Intl.PluralRules(language).select(n)
  const text = catalogue[`${many} #${form}`] || translated(form === 'one' ? one : many)
  const given: Readonly<Record<string, Part>> = { n, ...parts }
  return text.replace(/\{(\w+)\}/g, (whole, name: string) => String(given[name] ?? whole))
}

/** A text in the language spoken with its braces still in it, for those who fill in more than strings. */
export const translated = (english: string): string => catalogue[english] || english.replace(/ #\w+$/, '')
