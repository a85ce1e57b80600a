/** page: the app itself · file: one of its files · kept: an answer that is kept for bad days · out: sign-out · network: all else. */
export type Way = 'page' | 'file' | 'kept' | 'out' | 'network'

interface Asked {
  readonly method: string
  readonly url: string
  readonly mode: string
}

/** What the worker does about a request. Of the API it keeps two answers, and never comes between the page and the rest. */
export function wayOf({ method, url, mode }: Asked, origin: string, files: readonly string[]): Way {
  const { pathname, search, origin: asked } = new URL(url)
  if (asked !== origin) return 'network'
  if (method === 'POST' && pathname === '/api/sign-out') return 'out'
  if (method !== 'GET') return 'network'
  if (keptPaths.has(pathname) && search === '') return 'kept'
  if (pathname.startsWith('/api/') || pathname === '/health') return 'network'
  if (mode === 'navigate') return pathname.includes('.') ? 'network' : 'page'
  return files.includes(pathname) && pathname !== '/' ? 'file' : 'network'
}

const keptPaths = new Set(['/api/tonight', '/api/household'])
