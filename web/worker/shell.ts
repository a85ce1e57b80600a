import { soon } from '../page/soon.ts'

/** The page's own files, as the build lists them; `version` changes when any of them does. */
export interface ShellFiles {
  readonly version: string
  /** Paths; `/` for the page itself. */
  readonly paths: readonly string[]
}

/** How long the network may take before the page comes from this browser's memory, in ms. */
const pagePatienceMs = 3000

const prefix = 'brumal-shell-'

export interface Shell {
  /** Keeps every file, or none where one of them cannot be fetched. */
  keep(): Promise<void>
  /** Drops what earlier versions kept. */
  dropEarlier(): Promise<void>
  /** From the network while it answers soon, else from memory. */
  page(request: Request): Promise<Response>
  /** A file whose name holds a hash of its content: from memory first. */
  file(request: Request): Promise<Response>
}

export function createShell({ version, paths }: ShellFiles): Shell {
  const name = prefix + version
  const kept = async (path: string | Request): Promise<Response | undefined> =>
    (await caches.open(name)).match(path)

  return {
    async keep() {
      const cache = await caches.open(name)
      await cache.addAll([...paths])
    },
    async dropEarlier() {
      const earlier = (await caches.keys()).filter((one) => one.startsWith(prefix) && one !== name)
      await Promise.all(earlier.map((one) => caches.delete(one)))
    },
    async page(request) {
      const asked = fetch(request)
      const answer = await soon(
        asked.catch(() => null),
        pagePatienceMs,
      )
      if (answer !== null && answer.status < 500) return answer // a proxy without its daemon says 502
      return (await kept('/')) ?? asked
    },
    async file(request) {
      return (await kept(request)) ?? fetch(request)
    },
  }
}
