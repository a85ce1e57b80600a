/** Tells whoever holds something open for a session or an access token that one has ended before its time. */
export interface Endings {
  tell(): void
  subscribe(listener: () => void): void
}

export function endings(): Endings {
  const listeners: (() => void)[] = []
  return {
    tell() {
      for (const listener of listeners) listener()
    },
    subscribe: (listener) => void listeners.push(listener),
  }
}
