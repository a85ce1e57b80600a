/**
 * The last good answers, which the service worker keeps for a page that opens without the network. Between the worker and
 * the page; only they know it.
 */
export const keptCache = 'brumal-kept'
/** The words of the language that was chosen last, for notifications; no secret, and kept at sign-out. */
export const wordsCache = 'brumal-words'
export const wordsPath = '/words'
/** On an answer out of that cache: when it was given, in ms since the epoch by this browser's clock. */
export const keptAtHeader = 'x-brumal-kept-at'

/** Sign-out leaves nothing behind that the next person at this browser could read (X1). */
export function forgetKept(): void {
  // Over plain http there are no caches, and nothing was kept
  if ('caches' in globalThis) void caches.delete(keptCache)
}
