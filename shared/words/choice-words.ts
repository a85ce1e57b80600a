import type { Role } from '../../schemas/person.ts'
import type { Guidance } from '../../schemas/species.ts'
import { say } from './say.ts'

/** What somebody is here. */
export const roleWord: Readonly<Record<Role, string>> = {
  keeper: say('keeper'),
  sitter: say('sitter'),
}

/** Which figure counts where published advice conflicts. */
export const guidanceWord: Readonly<Record<Guidance, string>> = {
  strict: say('strict'),
  lenient: say('lenient'),
}
