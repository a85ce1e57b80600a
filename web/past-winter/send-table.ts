import type { TableLook } from '../../schemas/import.ts'
import { type Answer, asJson, askPatiently, pathTo, query } from '../page/ask.ts'

/** Longest wait, in ms: 64 MB through a wireless network, and two million rows looked through by a small board. */
const patienceMs = 300_000

/** The file goes as it is; the answer is what it seems to be. */
export const sendTable = (file: File): Promise<Answer<TableLook>> =>
  askPatiently(
    'POST',
    pathTo('imports') + query({ file: file.name }),
    { type: 'text/csv', body: file },
    patienceMs,
  )

/** As `page.ask`, for what takes a small board longer: looking a large table through, taking it back. */
export const askSlow = <T>(method: 'POST' | 'DELETE', path: string, body?: object): Promise<Answer<T>> =>
  askPatiently(method, path, body === undefined ? null : asJson(body), patienceMs)
