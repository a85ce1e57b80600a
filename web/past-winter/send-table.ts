import type { Problem } from '../../schemas/api.ts'
import type { TableLook } from '../../schemas/import.ts'
import { say } from '../../shared/words/say.ts'
import { type Answer, pathTo, query } from '../page/ask.ts'

/** Longest wait, in ms: 64 MB through a wireless network, and two million rows looked through by a small board. */
const patienceMs = 300_000

/** The file goes as it is; the answer is what it seems to be. */
export const sendTable = (file: File): Promise<Answer<TableLook>> =>
  askLong('POST', pathTo('imports') + query({ file: file.name }), file, 'text/csv')

/** As `page.ask`, for what takes a small board longer: looking a large table through, taking it back. */
export const askSlow = <T>(method: 'POST' | 'DELETE', path: string, body?: object): Promise<Answer<T>> =>
  askLong(method, path, body === undefined ? null : JSON.stringify(body), 'application/json')

async function askLong<T>(
  method: string,
  path: string,
  body: Blob | string | null,
  type: string,
): Promise<Answer<T>> {
  try {
    const response = await fetch(path, {
      method,
      headers: body === null ? {} : { 'content-type': type },
      body,
      signal: AbortSignal.timeout(patienceMs),
    })
    if (response.ok) return { ok: true, value: (await response.json()) as T }
    const told = (await response.json().catch(() => ({}))) as Partial<Problem>
    return { ok: false, problem: { ...plain(response.status), ...told } }
  } catch {
    return { ok: false, problem: { ...plain(0), title: say('Brumal cannot be reached from here.') } }
  }
}

const plain = (status: number): Problem => ({
  type: 'about:blank',
  title: say('The table was not taken.'),
  status,
  code: 'unexpected',
})
