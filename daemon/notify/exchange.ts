import type { IncomingHttpHeaders } from 'node:http'
import { request as httpRequest } from 'node:http'
import type { Agent } from 'node:https'
import { request as httpsRequest } from 'node:https'

/** 64 KiB: the status says all; the rest of an answer is heard out so that no receiver takes our leaving for a refusal. */
const answerLimit = 65_536
/** A receiver that moved once or twice; more is a loop. */
const redirectLimit = 3

export interface Exchange {
  readonly url: URL
  readonly method: 'POST' | 'PUT'
  /** Sent in this order, after `Host` and before `Content-Length` and `Connection: close`. */
  readonly headers: Readonly<Record<string, string>>
  readonly body: Uint8Array
  /** For https: whom to trust, where it is not the system's authorities. */
  readonly agent: Agent | undefined
  readonly signal: AbortSignal
  /** False where a redirect is never right: a push resource is one address (RFC 8030 §5). */
  readonly followsRedirects: boolean
}

export type Exchanged =
  | { readonly answered: true; readonly status: number; readonly headers: IncomingHttpHeaders }
  | { readonly answered: false; readonly failure: unknown }

/**
 * One HTTP request and the head of its answer. A redirect is followed, method and body kept (RFC 9110 §15.4.8 and
 * §15.4.9: 307 and 308), on the same host and port, or from http to https on the same host; any other redirect is the
 * answer. An answer whose head has come counts, whatever becomes of its body. Ends with `signal` at the latest.
 */
export async function exchange(given: Exchange): Promise<Exchanged> {
  let url = given.url
  for (let hops = 0; ; hops += 1) {
    const answer = await once({ ...given, url })
    const next = answer.answered && given.followsRedirects ? nextOf(answer, url) : null
    if (next === null || hops === redirectLimit) return answer
    url = next
  }
}

function once({ url, method, headers, body, agent, signal }: Exchange): Promise<Exchanged> {
  if (signal.aborted) return Promise.resolve({ answered: false, failure: null })
  return new Promise((resolve) => {
    const all = { Host: url.host, ...headers, 'Content-Length': String(body.byteLength), Connection: 'close' }
    const request =
      url.protocol === 'https:'
        ? httpsRequest(url, { method, headers: all, signal, agent: agent ?? false })
        : httpRequest(url, { method, headers: all, signal, agent: false })
    let answer: Exchanged | null = null
    const end = (failure: unknown): void => {
      resolve(answer ?? { answered: false, failure })
      request.destroy()
    }
    request.on('response', (response) => {
      answer = { answered: true, status: response.statusCode ?? 0, headers: response.headers }
      let length = 0
      response.on('data', (chunk: Uint8Array) => {
        length += chunk.byteLength
        if (length > answerLimit) end(null)
      })
      response.on('error', end)
      response.on('close', () => end(null))
    })
    request.on('error', end)
    request.on('close', () => end(closedUnanswered))
    request.end(body)
  })
}

const closedUnanswered = { code: 'ECONNRESET' }

function nextOf({ status, headers }: Extract<Exchanged, { answered: true }>, from: URL): URL | null {
  if ((status !== 307 && status !== 308) || headers.location === undefined) return null
  const to = URL.canParse(headers.location, from) ? new URL(headers.location, from) : null
  if (to === null || to.hostname !== from.hostname) return null
  const isSame = to.protocol === from.protocol && to.port === from.port
  return isSame || (from.protocol === 'http:' && to.protocol === 'https:') ? to : null
}
