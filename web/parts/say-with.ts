import type { ComponentChildren } from 'preact'
import { type PartsOf, translated } from '../../shared/words/say.ts'

/** As `say`, where a part is more than text: a link, a value set strong. */
export function sayWith<Text extends string>(
  english: Text,
  parts: Readonly<Record<PartsOf<Text>, ComponentChildren>>,
): ComponentChildren[] {
  const given: Readonly<Record<string, ComponentChildren>> = parts
  // split by a group: texts and names in turn
  return translated(english)
    .split(/\{(\w+)\}/)
    .map((piece, at) => (at % 2 === 0 ? piece : given[piece]))
}
