import { inReadersUnits } from '../../shared/words/in-readers-units.ts'

/** A sentence of the daemon's or the page's own as its reader writes it, its numbers held together with their units. */
export const held = (sentence: string): string => bound(inReadersUnits(sentence))

/** Numbers held together with their units, so that a line never breaks between them; else as it was said. */
export const bound = (sentence: string): string =>
  sentence.replace(/(\d) (?=°[CF]|%|(?:K|V|s|min|h|d)\b)/g, '$1\u00a0')
