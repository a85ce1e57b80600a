import { describe, expect, test } from 'vitest'
import type { Sender } from '../../daemon/ports.ts'
import type { PortName } from '../support/fault-daemon.ts'
import { faultRuns, waysOfReads, waysOfWrites } from '../support/fault-runs.ts'
import type { Plan } from '../support/fault-story.ts'
import { failing, trapFor } from '../support/faulty.ts'

// After the way in which SQLite tests itself against memory and disks that fail (sqlite.org/testing.html, "Anomaly
// Testing"): one story is told again and again. First its first call fails, then its second, until it gets through.
// What must hold of each story is in fault-claims.ts.

const runs = faultRuns()
/** Some hundred stories; more while other tests have the processor. */
const timeout = 60_000

const of = (port: PortName, ...methods: readonly string[]) => methods.map((method) => [port, method] as const)
const reads = [
  ...of(
    'store',
    'household',
    'resume',
    'unfolded',
    'readings',
    'columns',
    'summaries',
    'span',
    'journal',
    'size',
  ),
  ...of('outbox', 'waiting', 'recent', 'channelSecret', 'rungAt'),
  ...of('people', 'people'),
  ...of('devices', 'devices', 'isSharedLoginOpen'),
]
const writes = [
  ...of('store', 'commit', 'fold', 'thin', 'close'),
  ...of('outbox', 'save', 'forgetEnded', 'saveChannelSecret', 'forgetChannelSecret', 'saveRing'),
  ...of('people', 'secret'),
  ...of('devices', 'saveDevice', 'removeDevice', 'setSharedLogin'),
]

describe('N2: whichever call of a store fails, no reading is lost or doubled and the alarm is told', () => {
  test.each(reads)('a read: %s.%s', { timeout }, async (port, method) => {
    expect(await runs.failEachCall(port, method, waysOfReads)).toEqual([])
  })

  test.each(writes)('a write: %s.%s', { timeout }, async (port, method) => {
    expect(await runs.failEachCall(port, method, waysOfWrites)).toEqual([])
  })
})

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
