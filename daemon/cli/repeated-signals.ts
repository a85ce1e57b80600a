/** As long as stopping may take: npm passes its repeat on within milliseconds, or seconds where the machine is busy. */
const repeatWithinMs = 5000

/**
 * npm passes on the signal that the terminal or supervisor has sent to all of us already: the repeat must not cut the
 * stopping short. One that comes later is meant, and ends the program at once.
 */
export function outliveRepeatedSignals(): void {
  let first: number | null = null
  for (const [signal, code] of [
    ['SIGINT', 130],
    ['SIGTERM', 143],
  ] as const) {
    process.on(signal, () => {
      first ??= performance.now()
      if (performance.now() - first > repeatWithinMs) process.exit(code)
    })
  }
}
