import { createHash } from 'node:crypto'
import type { RandomBytes } from '../../ports/seal.ts'

/** 256 bits as 43 signs of base64url: not to be guessed, so a plain hash of it is enough. */
export const newToken = (random: RandomBytes): string => Buffer.from(random(32)).toString('base64url')

export const tokenShape = /^[\w-]{43}$/

/** What is kept of a token: whoever reads the database cannot use it. */
export const hashOf = (token: string): string => createHash('sha256').update(token).digest('base64url')

/** Names a token in a list: the first 96 bits of its hash. */
export const handleOf = (tokenHash: string): string => tokenHash.slice(0, 16)
