import { signal, type ReadonlySignal } from '@preact/signals'

export interface Route {
  readonly path: ReadonlySignal<string>
  go(path: string): void
  /** Goes there without leaving a way back. */
  replace(path: string): void
}

/** The address bar as a signal. */
export function createRoute(window: Window): Route {
  const path = signal(window.location.pathname)
  window.addEventListener('popstate', () => {
    path.value = window.location.pathname
  })
  return {
    path,
    go(next) {
      if (next !== window.location.pathname) window.history.pushState(null, '', next)
      path.value = next
      window.scrollTo(0, 0)
    },
    replace(next) {
      window.history.replaceState(null, '', next)
      path.value = next
    },
  }
}
