import { createHash, timingSafeEqual } from 'node:crypto'
import type { PeopleStore } from '../../ports/people.ts'
import type { RandomBytes } from '../../ports/seal.ts'

/** Without a keeper nobody can sign in, so the door waits for the code. */
export const isSetUpNeeded = (people: PeopleStore): boolean =>
  !people.people().some((person) => person.role === 'keeper')

/** The one-time code, made the first time it is asked for: 12 signs of 5 bits, `7KQP-3MXD-9TRA`. */
export function setUpCode(people: PeopleStore, random: RandomBytes): string {
  return people.secret(secretName, () => {
    const signs = Array.from(random(12), (byte) => alphabet[byte & 31])
    return [signs.slice(0, 4), signs.slice(4, 8), signs.slice(8)].map((group) => group.join('')).join('-')
  })
}

export const forgetSetUpCode = (people: PeopleStore): void => people.forgetSecret(secretName)

/** Whether it is the same code, in a time that says nothing about where it differs; case and hyphens do not count. */
export function isSameCode(given: string, code: string): boolean {
  return timingSafeEqual(digest(given), digest(code))
}

const secretName = 'setUpCode'

/** Crockford's base 32: no I, L, O or U, which are misread. */
const alphabet = '0123456789ABCDEFGHJKMNPQRSTVWXYZ'

const digest = (code: string): Buffer =>
  createHash('sha256')
    .update(code.toUpperCase().replace(/[\s-]/g, '').replace(/O/g, '0').replace(/[IL]/g, '1'))
    .digest()
