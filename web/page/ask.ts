import type { Problem } from '../../schemas/api.ts'
import { keptAtHeader } from './kept.ts'
import { inReadersUnits } from '../../shared/words/in-readers-units.ts'
import { say } from '../../shared/words/say.ts'

export type Answer<T> =
  | {
      readonly ok: true
      readonly value: T
      /** Out of this browser's memory, because the daemon did not answer: when it was given, in ms. */
      readonly keptAt?: number
    }
  | { readonly ok: false; readonly problem: Problem }

/** Asks the daemon. Never throws: no network and no answer are problems too, with status 0. */
export type Ask = <T>(
  method: 'GET' | 'POST' | 'PUT' | 'DELETE',
  path: string,
  body?: object,
) => Promise<Answer<T>>

/** Longest wait for an answer, in ms: a winter's list takes well under a second on a small board. */
const patienceMs = 15_000

/** What goes with a request: JSON, or a file as it is. */
export interface Sent {
  readonly type: string
  readonly body: Blob | string
}

export const asJson = (body: object): Sent => ({ type: 'application/json', body: JSON.stringify(body) })

export function createAsk(fetchFrom: typeof fetch): Ask {
  return (method, path, body) =>
    askPatiently(method, path, body === undefined ? null : asJson(body), patienceMs, fetchFrom)
}

/**
 * Asks with a wait of its own, in ms: for a large file, or for work that takes a small board longer. Answers are trusted
 * as typed: the daemon checks them against the same schemas on their way out.
 */
export async function askPatiently<T>(
  method: string,
  path: string,
  sent: Sent | null,
  patienceMs: number,
  fetchFrom: typeof fetch = fetch,
): Promise<Answer<T>> {
  try {
    const response = await fetchFrom(path, {
      method,
      headers: sent === null ? {} : { 'content-type': sent.type },
      body: sent === null ? null : sent.body,
      signal: AbortSignal.timeout(patienceMs),
    })
    const text = await response.text()
    if (!response.ok) return { ok: false, problem: problemOf(response.status, text) }
    const keptAt = response.headers.get(keptAtHeader)
    const value = (text === '' ? null : JSON.parse(text)) as T
    return { ok: true, value, ...(keptAt === null ? {} : { keptAt: Number(keptAt) }) }
  } catch (error) {
    return { ok: false, problem: unreachable(error, patienceMs) }
  }
}

export function pathTo(...parts: readonly string[]): string {
  return `/api/${parts.map(encodeURIComponent).join('/')}`
}

export function query(given: Readonly<Record<string, string | number | boolean | null | undefined>>): string {
  const known = Object.entries(given).filter(([, value]) => value !== null && value !== undefined)
  return known.length === 0 ? '' : `?${new URLSearchParams(known.map(([k, v]) => [k, String(v)])).toString()}`
}

/** Whether nobody answered: no network, no daemon, or a proxy that has no daemon behind it. */
export const isSilence = ({ status }: Problem): boolean => status === 0 || (status >= 502 && status <= 504)

/** One sentence for people. */
export const sentenceOf = (problem: Problem): string => inReadersUnits(problem.detail ?? problem.title)

function problemOf(status: number, text: string): Problem {
  const plain = {
    type: 'about:blank',
    title: say('Brumal answered {status}', { status }),
    status,
    code: 'unexpected',
  }
  try {
    const parsed: unknown = JSON.parse(text)
    return typeof parsed === 'object' && parsed !== null ? { ...plain, ...parsed } : plain
  } catch {
    return plain // a proxy's own page, not ours
  }
}

function unreachable(error: unknown, patienceMs: number): Problem {
  const waited = error instanceof DOMException && error.name === 'TimeoutError'
  return {
    type: 'about:blank',
    title: waited
      ? say('Brumal did not answer in {n} seconds.', { n: patienceMs / 1000 })
      : say('Brumal cannot be reached from here.'),
    status: 0,
    code: 'unreachable',
  }
}
