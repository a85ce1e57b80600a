import { describe, expect, test } from 'vitest'
import type { Sender } from '../../daemon/ports/outbox.ts'
import type { PortName } from '../support/fault-daemon.ts'
import { faultRuns } from '../support/fault-runs.ts'
import type { Plan } from '../support/fault-story.ts'
import { failing, trapFor } from '../support/faulty.ts'

// The story of fault-at-every-call.test.ts, broken off in the cold; then the next start fails too.

const runs = faultRuns({ hasLamps: false })
const timeout = 180_000
const of = (port: PortName, ...methods: readonly string[]) => methods.map((method) => [port, method] as const)

describe('L7, N2: a second fault, while the daemon is opened again', () => {
  const killed = { mended: 'afterClose', isKilled: true } as const
  const firsts: readonly (readonly [string, () => Plan])[] = [
    [
      'after it was killed in the cold with a store that took nothing',
      () => ({
        ...killed,
        port: 'store',
        trap: trapFor({ method: 'commit', nth: 9, mode: 'forEver', how: 'before' }),
        restartAt: 5,
      }),
    ],
    [
      'after it was killed in the cold before anybody could be told',
      () => {
        // The first message is the test ring
        const trap = trapFor({ method: 'send', nth: 2, mode: 'forEver', how: 'before' })
        return {
          ...killed,
          port: 'sender',
          trap,
          restartAt: 4,
          senders: ({ mail, relay, ...others }) => ({
            ...others,
            mail: failing(mail as Sender<'mail'>, trap),
            relay: failing(relay as Sender<'relay'>, trap),
          }),
        }
      },
    ],
  ]
  /** Whatever is called while it opens, and until the alarm is out. */
  const opening = [
    ...of('store', 'household', 'resume', 'commit', 'size', 'readings'),
    ...of('outbox', 'waiting', 'recent', 'forgetEnded', 'channelSecret', 'save'),
    ...of('people', 'secret'),
    ...of('devices', 'devices', 'isSharedLoginOpen'),
  ]
  const calls = 4

  test.each(firsts)('%s', { timeout }, async (_, plan) => {
    const mistakes: string[] = []
    for (const [port, method] of opening)
      for (const how of ['before', 'after'] as const)
        for (let nth = 1; nth <= calls; nth++) {
          const first = plan()
          const trap = trapFor({ method, nth, mode: 'once', how })
          mistakes.push(
            ...(await runs.run(`call ${nth} of ${method}, ${how}`, { ...first, second: { port, trap } })),
          )
          expect([method, nth, first.trap.hasHappened()]).toEqual([method, nth, true])
          if (nth === 1) expect([method, trap.hasHappened()]).toEqual([method, true])
          if (!trap.hasHappened()) break
        }
    expect(mistakes).toEqual([])
  })
})
