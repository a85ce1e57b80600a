import type { Role } from '../../schemas/person.ts'
import { say } from '../../shared/words/say.ts'

/** What somebody may do, told to themselves (X1). */
export const roleWords: Record<Role, string> = {
  sitter: say('A sitter sees everything, acknowledges alarms and says when a place is opened.'),
  keeper: say('A keeper sees and changes everything, and says who may come in.'),
}
