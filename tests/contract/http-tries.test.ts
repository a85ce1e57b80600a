import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { decoyHash, hashPassword, passwordFits } from '../../daemon/http/doors/password.ts'
import { isSameCode } from '../../daemon/http/doors/set-up-code.ts'
import { networkOf, tryBounds, tryLimit } from '../../daemon/http/doors/try-limit.ts'
import { turnstile } from '../../daemon/http/doors/turnstile.ts'
import { instant, millis } from '../../schemas/amounts.ts'

function atDoor() {
  let up = 0
  const limit = tryLimit({ now: () => instant(0), uptime: () => millis(up) })
  return { limit, wait: (ms: number) => (up += ms) }
}

describe('X1: the wait after wrong tries', () => {
  test('ten tries of an address are free, then the wait doubles from 1 s to 60 s', () => {
    const { limit, wait } = atDoor()
    for (let i = 0; i < tryBounds.freeForAddress; i++) expect(limit.admit('a', `name ${i}`).waitMs).toBe(0)
    const waits: number[] = []
    for (let i = 0; i < 9; i++) {
      const { waitMs } = limit.admit('a', `other ${i}`)
      waits.push(waitMs)
      wait(waitMs - 1)
      expect(limit.admit('a', `other ${i}`).waitMs).toBe(1)
      wait(1)
      expect(limit.admit('a', `other ${i}`).waitMs).toBe(0)
    }
    expect(waits).toEqual([1000, 2000, 4000, 8000, 16_000, 32_000, 60_000, 60_000, 60_000])
  })

  test('whoever has a sign-in of their own guesses no faster at another: 10 tries are free, however many are right', () => {
    const { limit, wait } = atDoor()
    let guesses = 0
    for (let i = 0; i < 1000; i++) {
      if (limit.admit('a', i % 2 === 0 ? 'Ada' : `name ${i}`).waitMs === 0) guesses++
      if (limit.admit('a', 'Bo').waitMs === 0) limit.succeeded('a', 'Bo')
    }
    expect(guesses).toBe(tryBounds.freeForAddress)
    wait(60_000)
    expect(limit.admit('a', 'Bo').waitMs).toBe(0)
  })

  test('a right try forgets the wrong ones at its name, and takes nothing from others of its address', () => {
    const { limit } = atDoor()
    for (let i = 0; i < tryBounds.freeForName - 1; i++) limit.admit('a', 'Ada')
    expect(limit.admit('a', 'Ada')).toEqual({ waitMs: 0, wrongTries: 5 })
    limit.succeeded('a', 'Ada')
    expect(limit.admit('a', 'Ada')).toEqual({ waitMs: 0, wrongTries: 5 })
    limit.succeeded('b', 'Ada') // of an address that never tried: nothing to take back
    expect(limit.admit('b', 'Ada')).toEqual({ waitMs: 0, wrongTries: 1 })
  })

  test('fifteen minutes without a wrong try forget it all', () => {
    const { limit, wait } = atDoor()
    for (let i = 0; i < 10; i++) limit.admit('a', null)
    expect(limit.admit('a', null).waitMs).toBe(1000)
    wait(tryBounds.forgetAfterMs)
    expect(limit.admit('a', null)).toEqual({ waitMs: 0, wrongTries: 1 })
  })

  test('however an attacker times it, an address that has never failed gets in at once', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.nat(20), fc.nat(120_000)), { maxLength: 300 }), (tries) => {
        const { limit, wait } = atDoor()
        for (const [host, ms] of tries) {
          limit.admit(`10.0.0.${host}`, 'Ada')
          wait(ms)
        }
        expect(limit.admit('192.168.1.20', ' ada ').waitMs).toBe(0)
      }),
    )
  })

  test('nobody waits longer than a minute, whatever was tried before', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.nat(3), fc.nat(3), fc.nat(70_000)), { maxLength: 400 }), (tries) => {
        const { limit, wait } = atDoor()
        for (const [host, name, ms] of tries) {
          expect(limit.admit(`10.0.0.${host}`, `name ${name}`).waitMs).toBeLessThanOrEqual(60_000)
          wait(ms)
        }
        wait(60_000)
        expect(limit.admit('10.0.0.0', 'name 0').waitMs).toBe(0)
      }),
    )
  })

  test('X3: a flood of names and addresses is forgotten oldest first, the busiest is kept', () => {
    const { limit } = atDoor()
    for (let i = 0; i < 10; i++) limit.admit('busy', null)
    for (let i = 0; i < tryBounds.entries - 1; i++) limit.admit(`host ${i}`, null)
    expect(limit.admit('busy', null).waitMs).toBe(1000)
    limit.admit('one more', null)
    expect(limit.admit('busy', null).waitMs).toBe(0)
  })

  test('an IPv6 host is its /64, a mapped IPv4 address is itself', () => {
    expect(networkOf('2001:db8:1:2:3:4:5:6')).toBe('2001:db8:1:2::/64')
    expect(networkOf('2001:db8:1:2:aaaa::1')).toBe('2001:db8:1:2::/64')
    expect(networkOf('2001:0db8:0001:0002::')).toBe('2001:db8:1:2::/64')
    expect(networkOf('fe80::1%eth0')).toBe('fe80:0:0:0::/64')
    expect(networkOf('::1')).toBe('0:0:0:0::/64')
    expect(networkOf('::ffff:192.168.1.5')).toBe('192.168.1.5')
    expect(networkOf('192.168.1.5')).toBe('192.168.1.5')
  })
})

describe('X3: the turnstile', () => {
  test('lets two in, keeps the rest in order, turns away beyond its bound, and survives a failure', async () => {
    const gate = turnstile({ atOnce: 2, waiting: 3 })
    const order: number[] = []
    let inside = 0
    let most = 0
    const finish: (() => void)[] = []
    const enter = (i: number) =>
      gate.pass(async () => {
        order.push(i)
        most = Math.max(most, ++inside)
        await new Promise<void>((resolve) => finish.push(resolve))
        inside--
        if (i === 1) throw new Error('fell')
        return i
      })
    const results = [0, 1, 2, 3, 4, 5].map((i) => enter(i).catch((error: Error) => error.message))
    expect(await results[5]).toBeNull()
    while (order.length < 5 || inside > 0) {
      finish.shift()?.()
      await new Promise((resolve) => setImmediate(resolve))
    }
    expect(await Promise.all(results)).toEqual([0, 'fell', 2, 3, 4, null])
    expect([order, most]).toEqual([[0, 1, 2, 3, 4], 2])
    const later = gate.pass(async () => 'free again')
    expect(await later).toBe('free again')
  })
})

describe('X1: passwords and codes', () => {
  const random = (count: number) => new Uint8Array(count).fill(7)

  test('a hash fits its password, in any form of its letters, and no other', async () => {
    const hash = await hashPassword('Kröte im Keller', random)
    expect(hash).toMatch(/^\$scrypt\$ln=15,r=8,p=1\$[A-Za-z0-9+/]{22}\$[A-Za-z0-9+/]{43}$/)
    expect(await passwordFits('Kröte im Keller'.normalize('NFD'), hash)).toBe(true)
    expect(await passwordFits('Krote im Keller', hash)).toBe(false)
    expect(await passwordFits('', decoyHash(random))).toBe(false)
  })

  test('scrypt agrees with RFC 7914 §12 (value from memory), read through our own format', async () => {
    // scrypt("password", "NaCl", N=1024, r=8, p=16, dkLen=64), first 32 bytes: PBKDF2 fills block by block, so they are
    // those of dkLen=32 too
    const key = Buffer.from('fdbabe1c9d3472007856e7190d01e9fe7c6ad7cbc8237830e77376634b373162', 'hex')
    const unpadded = (bytes: Buffer) => bytes.toString('base64').replace(/=+$/, '')
    const hash = `$scrypt$ln=10,r=8,p=16$${unpadded(Buffer.from('NaCl'))}$${unpadded(key)}`
    expect(await passwordFits('password', hash)).toBe(true)
    expect(await passwordFits('passwore', hash)).toBe(false)
  })

  test('a damaged hash is a fault, not a wrong password', async () => {
    await expect(passwordFits('x', 'plain')).rejects.toThrow(/cannot be read/)
  })

  test('the code is the same in small letters, with spaces and with letters misread', () => {
    expect(isSameCode('7kqp 3mxd 9tr0', '7KQP-3MXD-9TR0')).toBe(true)
    expect(isSameCode('7KQP3MXD9TRO', '7KQP-3MXD-9TR0')).toBe(true)
    expect(isSameCode('7KQP-3MXD-9TR1', '7KQP-3MXD-9TR0')).toBe(false)
    expect(isSameCode('', '7KQP-3MXD-9TR0')).toBe(false)
  })
})
