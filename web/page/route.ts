import { signal, type ReadonlySignal } from '@preact/signals'

/** How the reader came to where they are: by opening the page, by a link on it, or by going back (or forth) to it. */
interface Coming {
  readonly by: 'opening' | 'link' | 'history'
  /** The path that was left; null when the page was opened here. */
  readonly from: string | null
}

export interface Route {
  readonly path: ReadonlySignal<string>
  /** As of the last move. */
  readonly coming: Coming
  go(path: string): void
  /** Goes there without leaving a way back. */
  replace(path: string): void
}

/** The address bar as a signal. */
export function createRoute(window: Window): Route {
  const path = signal(window.location.pathname)
  let coming: Coming = { by: 'opening', from: null }
  window.addEventListener('popstate', () => {
    coming = { by: 'history', from: path.peek() }
    path.value = window.location.pathname
  })
  return {
    path,
    get coming() {
      return coming
    },
    go(next) {
      if (next !== window.location.pathname) window.history.pushState(null, '', next)
      coming = { by: 'link', from: path.peek() }
      path.value = next
      window.scrollTo(0, 0)
    },
    replace(next) {
      window.history.replaceState(null, '', next)
      path.value = next
    },
  }
}

/** The page of one place. */
export const pathOfPlace = (id: string): string => `/places/${id}`

/** The id in such a path; null where the path is another. What no place is called is no place's id. */
export const placeOfPath = (path: string): string | null => /^\/places\/([^/]+)\/?$/.exec(path)?.[1] ?? null

/** The page of a place's trial run. */
export const pathOfTrial = (id: string): string => `/places/${id}/trial`

export const trialOfPath = (path: string): string | null =>
  /^\/places\/([^/]+)\/trial\/?$/.exec(path)?.[1] ?? null

/** Where other limits are tried on a past winter; of no place in particular where it is null. */
export const pathOfWhatIf = (id: string | null): string => (id === null ? '/what-if' : `/what-if/${id}`)

export const whatIfOfPath = (path: string): { readonly place: string | null } | null => {
  const found = /^\/what-if(?:\/([^/]+))?\/?$/.exec(path)
  return found === null ? null : { place: found[1] ?? null }
}

/** The page on which a sensor is checked. */
export const pathOfCheck = (id: string): string => `/sensors/${id}/check`

export const checkOfPath = (path: string): string | null =>
  /^\/sensors\/([^/]+)\/check\/?$/.exec(path)?.[1] ?? null

/** The page of one animal. */
export const pathOfAnimal = (id: string): string => `/animals/${id}`

export const animalOfPath = (path: string): string | null => /^\/animals\/([^/]+)\/?$/.exec(path)?.[1] ?? null

/** What is noted of an animal, one kind of thing at a time. */
export const pathOfNoting = (id: string, kind: string): string => `/animals/${id}/note/${kind}`

export const notingOfPath = (path: string): { readonly animal: string; readonly kind: string } | null => {
  const found = /^\/animals\/([^/]+)\/note\/([^/]+)\/?$/.exec(path)
  return found?.[1] === undefined || found[2] === undefined ? null : { animal: found[1], kind: found[2] }
}

/** One animal's winter on paper. */
export const pathOfReport = (id: string): string => `/animals/${id}/winter`

export const reportOfPath = (path: string): string | null =>
  /^\/animals\/([^/]+)\/winter\/?$/.exec(path)?.[1] ?? null

/** A place's winter; with the date of its evening one night of it. */
export const pathOfNight = (place: string, date: string): string => `${pathOfWinter(place)}/${date}`
export const pathOfWinter = (place: string): string => `/winter/${place}`

/** Either part is null where the path does not name it; null where the path is another. */
export const winterOfPath = (
  path: string,
): { readonly place: string | null; readonly date: string | null } | null => {
  const found = /^\/winter(?:\/([^/]+)(?:\/(\d{4}-\d{2}-\d{2}))?)?\/?$/.exec(path)
  return found === null ? null : { place: found[1] ?? null, date: found[2] ?? null }
}
