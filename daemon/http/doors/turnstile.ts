/** Two at a time: one password check fills a core and 32 MiB; sixteen may wait, about 2 s on two cores (X3). */
export const turnstileBounds = { atOnce: 2, waiting: 16 } as const

export interface Turnstile {
  /** Runs `work` when there is room; null, without running it, when too many wait already. */
  pass<Result>(work: () => Promise<Result>): Promise<Result | null>
}

export function turnstile(bounds: { readonly atOnce: number; readonly waiting: number }): Turnstile {
  const queue: (() => void)[] = []
  let inside = 0

  return {
    async pass(work) {
      if (inside >= bounds.atOnce) {
        if (queue.length >= bounds.waiting) return null
        await new Promise<void>((resolve) => queue.push(resolve)) // whoever leaves hands over the place
      } else {
        inside++
      }
      try {
        return await work()
      } finally {
        const next = queue.shift()
        if (next) next()
        else inside--
      }
    },
  }
}
