/** The set-up code out of an address's `#code=ABCD`; empty when there is none. */
export const codeFrom = (hash: string): string =>
  new URLSearchParams(hash.replace(/^#/, '')).get('code') ?? ''
