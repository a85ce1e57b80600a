import { describe, expect, test } from 'vitest'
import type { PortName } from '../support/fault-daemon.ts'
import { faultRuns, waysOfReads, waysOfWrites } from '../support/fault-runs.ts'

// After the way in which SQLite tests itself against memory and disks that fail (sqlite.org/testing.html, "Anomaly
// Testing"): one story is told again and again. First its first call fails, then its second, until it gets through.
// What must hold of each story is in fault-claims.ts.

const runs = faultRuns({ hasLamps: false })
/** Some hundred stories; more while other tests have the processor. */
const timeout = 180_000

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
  ...of('diary', 'entries', 'entry', 'rows'),
]
const writes = [
  ...of('store', 'commit', 'fold', 'thin', 'close'),
  ...of('outbox', 'save', 'forgetEnded', 'saveChannelSecret', 'forgetChannelSecret', 'saveRing'),
  ...of('people', 'secret'),
  ...of('diary', 'saveEntries'),
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
