import type { TokenScope } from '../../schemas/access.ts'
import { say } from '../../shared/words/say.ts'

/** What a key is good for, behind "may". */
export const scopeName: Record<TokenScope, string> = {
  look: say('look'),
  act: say('look, acknowledge and tend'),
  keep: say('look, act and change the set-up'),
}

/** The same with its bounds, for whoever chooses. */
export const scopeHint: Record<TokenScope, string> = {
  look: say('It sees what a sitter sees, and changes nothing.'),
  act: say('It does what a sitter does.'),
  keep: say('It does what a keeper does, but never touches people, keys, passwords or devices.'),
}
