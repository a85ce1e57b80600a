/** The key out of an answer link's `#…`; empty where there is none. Some mail programs percent-encode what they pass on. */
export function keyIn(hash: string): string {
  const raw = hash.replace(/^#/, '').trim()
  try {
    return decodeURIComponent(raw)
  } catch {
    return raw // a lone %: no link of ours, which the daemon will say
  }
}

/** Whether the link acts as soon as it is opened: `/answer?now#…`. */
export const isAtOnce = (search: string): boolean => new URLSearchParams(search).has('now')
