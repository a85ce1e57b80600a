import { z } from 'zod'
import { PersonId } from './ids.ts'

/** keeper: all · sitter: see, acknowledge, weigh (X1). */
export const Role = z.enum(['keeper', 'sitter'])
export type Role = z.infer<typeof Role>

/** Someone who may sign in. */
export const Person = z.strictObject({ id: PersonId, name: z.string().min(1).max(60), role: Role })
export type Person = z.infer<typeof Person>

/** At least 10 characters (NIST SP 800-63B-4 §3.1.1.2 asks for length, not for kinds of characters); at most 200 (X3). */
export const Password = z.string().min(10, 'use at least 10 characters').max(200)
