import { describe, expect, test } from 'vitest'
import type { Clock, Timer } from '../../daemon/ports/clock.ts'
import type { Sender } from '../../daemon/ports/outbox.ts'
import { hours, later, millis, minutes, seconds } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'
import { faultRuns, once, waysOfReads } from '../support/fault-runs.ts'
import type { Plan } from '../support/fault-story.ts'
import { failing, type Trap, trapFor } from '../support/faulty.ts'

// The story of fault-at-every-call.test.ts, with faults of everything that is no store.

const runs = faultRuns({ hasLamps: true })
const timeout = 180_000

describe('N2: what fails on the way out keeps nobody from being told', () => {
  test.each(['seal', 'open'])('Seal.%s', { timeout }, async (method) => {
    expect(await runs.failEachCall('seal', method, waysOfReads)).toEqual([])
  })

  test('Broker.publish rejects: the lamps are told again', { timeout }, async () => {
    expect(await runs.failEachCall('broker', 'publish', waysOfReads, { rejects: true })).toEqual([])
  })

  test.each([
    ['throws, which it must not', (sender, trap) => failing(sender, trap)],
    [
      'takes the message, and its answer is lost',
      (sender, trap) => failing(sender, { ...trap, how: 'after' }),
    ],
    ['rejects', (sender, trap) => failing(sender, { ...trap, rejects: true })],
    ['answers only when it is told to end', (sender, trap) => deaf(sender, trap, true)],
    ['never answers', (sender, trap) => deaf(sender, trap, false)],
  ] as readonly (readonly [string, (sender: Sender<'mail'>, trap: Trap) => Sender<'mail'>])[])(
    'a sender that %s',
    { timeout },
    async (_, spoilt) => {
      const each = await runs.failEachCall('sender', 'send', once, {}, (trap) => ({
        senders: ({ mail, relay, ...others }) => ({
          ...others,
          mail: spoilt(mail as Sender<'mail'>, trap),
          relay: spoilt(relay as never, trap) as never,
        }),
      }))
      expect(each).toEqual([])
      for (const kind of ['mail', 'relay'] as const) {
        const trap = trapFor({ method: 'send', nth: 1, mode: 'forEver', how: 'before' })
        const plan: Plan = {
          port: 'sender',
          trap,
          mended: 'beforeClose',
          senders: (usual) => ({ ...usual, [kind]: spoilt(usual[kind] as never, trap) }),
        }
        expect(await runs.run(`${kind} for ever`, plan)).toEqual([])
        expect(trap.hasHappened()).toBe(true)
      }
    },
  )
})

/** Says nothing, or says that it was ended. */
const deaf = (sender: Sender<'mail'>, trap: Trap, hearsSignal: boolean): Sender<'mail'> => ({
  send: (channel, secret, parcel, signal) =>
    trap.spring()
      ? new Promise((_, reject) => {
          if (hearsSignal) signal.addEventListener('abort', () => reject(new Error('It was ended.')))
        })
      : sender.send(channel, secret, parcel, signal),
})

describe('N3: time that is not what it seems', () => {
  test('a timer that fires late delays, and does nothing else', { timeout }, async () => {
    const mistakes: string[] = []
    for (const [mode, late, nths] of [
      ['forEver', seconds(0.5), [1]],
      ['forEver', seconds(10), [1]],
      // A story waits some 300 times, mostly for the lamps: each early one, and then fewer
      ['once', seconds(30), [1, 2, 3, 4, 5, 6, 7, 8, 11, 13, 21, 34, 55, 89, 144]],
    ] as const)
      for (const nth of nths) {
        const trap = trapFor({ method: 'after', nth, mode, how: 'before' })
        const name = `wait ${nth}, ${mode}, ${late} ms late`
        mistakes.push(
          ...(await runs.run(name, { port: 'timer', trap, mended: 'beforeClose', wrap: lateBy(late, trap) })),
        )
        expect([name, trap.hasHappened()]).toEqual([name, true])
      }
    expect(mistakes).toEqual([])
  })

  test.each([
    ['once by ten seconds', 'once', seconds(10)],
    ['for good by ten seconds', 'forEver', seconds(10)],
    ['once by an hour', 'once', hours(1)],
  ] as const)('a clock that goes back between two calls: %s', { timeout }, async (_, mode, back) => {
    const mistakes: string[] = []
    // A minute has six looks at the machine's clock: a stride of five meets each kind of them in one minute or another
    for (let nth = 1, isThrough = false; !isThrough; nth += 5) {
      const trap = trapFor({ method: 'now', nth, mode, how: 'before' })
      const plan: Plan = { port: 'clock', trap, mended: 'beforeClose', wrap: backBy(back, trap) }
      const found = await runs.run(`call ${nth} of now`, plan)
      // L5: what is stamped an hour ahead of the clock is set aside, until the clock is looked at again
      const isSetAside = (mistake: string) => back > minutes(1) && mistake.endsWith('(settled) is lost')
      expect(found.filter(isSetAside).length).toBeLessThanOrEqual(2)
      mistakes.push(...found.filter((mistake) => !isSetAside(mistake)))
      isThrough = !trap.hasHappened()
      if (nth === 1) expect(isThrough).toBe(false)
    }
    expect(mistakes).toEqual([])
  })
})

const lateBy =
  (late: Millis, trap: Trap): NonNullable<Plan['wrap']> =>
  (port, part) => {
    if (port !== 'timer') return part
    const timer = part as unknown as Timer
    const after: Timer['after'] = (ms, act) => timer.after(millis(ms + (trap.spring() ? late : 0)), act)
    return { ...part, after }
  }

const backBy =
  (back: Millis, trap: Trap): NonNullable<Plan['wrap']> =>
  (port, part) => {
    if (port !== 'clock') return part
    const clock = part as unknown as Clock
    return { ...part, now: () => later(clock.now(), trap.spring() ? -back : 0) }
  }
