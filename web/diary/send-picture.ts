import type { Problem } from '../../schemas/api.ts'
import type { PictureId } from '../../schemas/ids.ts'
import { pathTo, type Answer } from '../page/ask.ts'
import { say } from '../../shared/words/say.ts'

/** Longest wait for a picture to go, in ms: 400 kB through a weak wireless network. */
const patienceMs = 60_000

/** Pictures go as they are, not as JSON. Sent twice under one id it is one picture. */
export async function sendPicture(id: PictureId, picture: Blob): Promise<Answer<null>> {
  try {
    const response = await fetch(pathTo('pictures', id), {
      method: 'PUT',
      headers: { 'content-type': picture.type },
      body: picture,
      signal: AbortSignal.timeout(patienceMs),
    })
    if (response.ok) return { ok: true, value: null }
    const told = (await response.json().catch(() => ({}))) as Partial<Problem>
    return { ok: false, problem: { ...plain(response.status), ...told } }
  } catch {
    return { ok: false, problem: { ...plain(0), title: say('Brumal cannot be reached from here.') } }
  }
}

const plain = (status: number): Problem => ({
  type: 'about:blank',
  title: say('The picture was not taken.'),
  status,
  code: 'unexpected',
})
