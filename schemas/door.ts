import { z } from 'zod'
import { Password, Person } from './person.ts'

/** What the sign-in page may know before anyone is signed in. */
export const Door = z.strictObject({ setUpNeeded: z.boolean() })
export type Door = z.infer<typeof Door>

/** Who is signed in. */
export const Me = z.strictObject({ person: Person, setUpNeeded: z.literal(false) })
export type Me = z.infer<typeof Me>

const Name = z.string().trim().min(1).max(60)

/** The first keeper, with the one-time code from the console (X1). */
export const SetUp = z.strictObject({ code: z.string().max(40), name: Name, password: Password })
export type SetUp = z.infer<typeof SetUp>

/** Any length of password is taken here, up to the bound: what is too short is merely wrong. */
export const SignIn = z.strictObject({ name: Name, password: z.string().max(200) })
export type SignIn = z.infer<typeof SignIn>
