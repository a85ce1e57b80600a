import type { TokenScope } from '../../schemas/access.ts'

/** What a key is good for, behind "may". */
export const scopeName: Record<TokenScope, string> = {
  look: 'look',
  act: 'look, acknowledge and tend',
  keep: 'look, act and change the set-up',
}

/** The same with its bounds, for whoever chooses. */
export const scopeHint: Record<TokenScope, string> = {
  look: 'It sees what a sitter sees, and changes nothing.',
  act: 'It does what a sitter does.',
  keep: 'It does what a keeper does, but never touches people, keys, passwords or devices.',
}
