import type { PictureId } from '../../schemas/ids.ts'
import { type Answer, askPatiently, pathTo } from '../page/ask.ts'

/** Longest wait for a picture to go, in ms: 400 kB through a weak wireless network. */
const patienceMs = 60_000

/** Pictures go as they are, not as JSON. Sent twice under one id it is one picture. */
export const sendPicture = (id: PictureId, picture: Blob): Promise<Answer<null>> =>
  askPatiently('PUT', pathTo('pictures', id), { type: picture.type, body: picture }, patienceMs)
