import { keptAtHeader, keptCache } from '../page/kept.ts'
import { soon } from '../page/soon.ts'
import type { Fetching } from './scope.ts'

/** How long the daemon may take before the last good answer is given, in ms. A late answer is kept all the same. */
const patienceMs = 4000

/** Older answers tell nothing and need not lie about on a phone, in ms: a week. A design choice. */
const keptForMs = 7 * 86_400_000

export interface KeptAnswers {
  /** The daemon's answer; where it gives none, the last good one, marked with when that was given. */
  answer(event: Pick<Fetching, 'request' | 'waitUntil'>): Promise<Response>
  /** Forgets all, and whatever is on its way. */
  forget(): Promise<void>
}

export function createKeptAnswers(now: () => number): KeptAnswers {
  let sinceForgotten = 0

  const keep = async (request: Request, answer: Response, begun: number): Promise<void> => {
    const headers = { 'content-type': 'application/json', [keptAtHeader]: String(now()) }
    const copy = new Response(await answer.blob(), { headers })
    if (begun === sinceForgotten) await (await caches.open(keptCache)).put(request.url, copy)
  }

  return {
    async answer({ request, waitUntil }) {
      const begun = sinceForgotten
      const asked = fetch(request)
      waitUntil(
        asked.then(
          (answer) => (answer.ok ? keep(request, answer.clone(), begun) : null),
          () => null, // no answer: nothing to keep
        ),
      )
      const answer = await soon(
        asked.catch(() => null),
        patienceMs,
      )
      if (answer !== null && (answer.status < 502 || answer.status > 504)) return answer
      const kept = await (await caches.open(keptCache)).match(request.url)
      const keptAt = Number(kept?.headers.get(keptAtHeader) ?? 0)
      return kept !== undefined && now() - keptAt < keptForMs ? kept : asked
    },
    async forget() {
      sinceForgotten += 1
      await caches.delete(keptCache)
    },
  }
}
