import { afterAll, beforeAll, expect, vi } from 'vitest'
import { mistakesIn } from './fault-claims.ts'
import { aFreshHouse } from './fault-house.ts'
import { type Plan, tellStory, type Told } from './fault-story.ts'
import { type Fault, type Trap, trapFor } from './faulty.ts'

export type Way = Pick<Fault, 'mode' | 'how'> & Pick<Plan, 'mended'>
export const once: readonly Way[] = [{ mode: 'once', how: 'before', mended: 'beforeClose' }]
/** For a read: one whose answer is lost is one that did not happen. */
export const waysOfReads: readonly Way[] = [
  ...once,
  { mode: 'forEver', how: 'before', mended: 'beforeClose' },
]
export const waysOfWrites: readonly Way[] = [
  ...waysOfReads,
  { mode: 'once', how: 'after', mended: 'beforeClose' },
  { mode: 'forEver', how: 'before', mended: 'afterClose' },
  { mode: 'forEver', how: 'after', mended: 'afterClose' },
]

/** Tells stories of the house for the tests of one file. */
export function faultRuns({ hasLamps }: { hasLamps: boolean }) {
  let fresh: ReturnType<typeof aFreshHouse>
  let faultless: Told
  const unhandled: unknown[] = []
  const onUnhandled = (cause: unknown): void => void unhandled.push(cause)
  beforeAll(async () => {
    // The waits between tries are drawn by chance
    vi.spyOn(Math, 'random').mockReturnValue(0.5)
    fresh = aFreshHouse()
    faultless = await tellStory(fresh.path, hasLamps, null)
    // A story that ends badly without a fault would do so at every call
    expect([mistakesIn(faultless, faultless, null), faultless.errors]).toEqual([[], []])
    process.on('unhandledRejection', onUnhandled)
  })
  afterAll(() => {
    process.off('unhandledRejection', onUnhandled)
    vi.restoreAllMocks()
    fresh.remove()
  })

  /** Tells it once, and says what went wrong; `name` says which run it was. */
  async function run(name: string, plan: Plan): Promise<string[]> {
    const told = await tellStory(fresh.path, hasLamps, plan)
    return [
      ...mistakesIn(told, faultless, plan),
      ...unhandled.splice(0).map((cause) => `a rejection that nobody handles: ${String(cause)}`),
    ].map((mistake) => `${name}: ${mistake}`)
  }

  return {
    run,
    /** Fails the first call, then the second, until the story is through. */
    async failEachCall(
      port: Plan['port'],
      method: string,
      ways: readonly Way[],
      fault: Partial<Fault> = {},
      more: (trap: Trap) => Partial<Plan> = () => ({}),
    ): Promise<string[]> {
      const mistakes: string[] = []
      for (const { mended, ...way } of ways) {
        let hasHappened = true
        let nth = 1
        for (; hasHappened; nth++) {
          const trap = trapFor({ method, nth, ...way, ...fault })
          const name = `call ${nth} of ${method}, ${way.mode}, ${way.how}, mended ${mended}`
          mistakes.push(...(await run(name, { port, trap, mended, ...more(trap) })))
          hasHappened = trap.hasHappened()
        }
        if (nth === 2) mistakes.push(`${method} was never called: nothing is proved of it`)
      }
      return mistakes
    },
  }
}
