import type { Role } from '../../schemas/person.ts'

/** What somebody may do, told to themselves (X1). */
export const roleWords: Record<Role, string> = {
  sitter: 'A sitter sees everything, acknowledges alarms and says when a place is opened.',
  keeper: 'A keeper sees and changes everything, and says who may come in.',
}
