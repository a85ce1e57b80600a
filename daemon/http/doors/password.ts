import { scrypt, timingSafeEqual } from 'node:crypto'
import type { RandomBytes } from '../../ports/seal.ts'

/**
 * scrypt (RFC 7914) with N = 2^15, r = 8, p = 1: 32 MiB and about 0.2 s on one core, which a person does not notice
 * and a guesser does.
 */
const cost = { logN: 15, r: 8, p: 1 } as const
const saltBytes = 16
const keyBytes = 32

/**
 * `$scrypt$ln=15,r=8,p=1$<salt>$<key>`: salt and key as base64 without padding (PHC string format). The cost stands in
 * the hash, so that a later, dearer one does not lock out those who signed up before it.
 */
export async function hashPassword(password: string, random: RandomBytes): Promise<string> {
  const salt = Buffer.from(random(saltBytes))
  const key = await derive(password, salt, cost)
  return `$scrypt$ln=${cost.logN},r=${cost.r},p=${cost.p}$${unpadded(salt)}$${unpadded(key)}`
}

/** A hash that no password fits: checking against it takes as long as checking against a real one. */
export function decoyHash(random: RandomBytes): string {
  const [salt, key] = [Buffer.from(random(saltBytes)), Buffer.from(random(keyBytes))]
  return `$scrypt$ln=${cost.logN},r=${cost.r},p=${cost.p}$${unpadded(salt)}$${unpadded(key)}`
}

/** Throws when the hash is not one of ours: then the store is damaged, not the password wrong. */
export async function passwordFits(password: string, hash: string): Promise<boolean> {
  const match = /^\$scrypt\$ln=(\d{1,2}),r=(\d{1,2}),p=(\d{1,2})\$([\w+/]{1,100})\$([\w+/]{43})$/.exec(hash)
  if (match === null) throw new Error('a stored password hash cannot be read')
  const [, logN, r, p, salt, key] = match as unknown as [string, string, string, string, string, string]
  const found = await derive(password, Buffer.from(salt, 'base64'), {
    logN: Number(logN),
    r: Number(r),
    p: Number(p),
  })
  return timingSafeEqual(found, Buffer.from(key, 'base64'))
}

function derive(password: string, salt: Buffer, { logN, r, p }: { logN: number; r: number; p: number }) {
  // NIST SP 800-63B-4 §3.1.1.2: normalise, so that an umlaut typed on another keyboard is the same password
  const text = password.normalize('NFKC')
  const options = { N: 2 ** logN, r, p, maxmem: 2 * 128 * 2 ** logN * r }
  return new Promise<Buffer>((resolve, reject) => {
    scrypt(text, salt, keyBytes, options, (error, key) => {
      if (error) reject(new Error('scrypt failed', { cause: error }))
      else resolve(key)
    })
  })
}

const unpadded = (bytes: Buffer): string => bytes.toString('base64').replace(/=+$/, '')
