/** Waits for the condition; past the deadline it fails with `what` was waited for. Looks every 5 ms. */
export async function until(
  condition: () => boolean | Promise<boolean>,
  what: string,
  deadlineMs = 10_000,
): Promise<void> {
  const end = performance.now() + deadlineMs
  while (!(await condition())) {
    if (performance.now() > end) throw new Error(`waited ${deadlineMs} ms in vain for: ${what}`)
    await new Promise((resolve) => setTimeout(resolve, 5))
  }
}
