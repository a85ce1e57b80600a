/** What a browser that is rung keeps about it: for the page that shows it, and the worker that must ask anew one day. */
export interface PhoneNote {
  readonly label: string
  readonly contact: string
  readonly channel: string
}

const cacheName = 'brumal-phone'
const key = '/phone'

export async function readPhoneNote(): Promise<PhoneNote | null> {
  const kept = await (await caches.open(cacheName)).match(key)
  return kept === undefined ? null : ((await kept.json()) as PhoneNote)
}

export async function writePhoneNote(note: PhoneNote | null): Promise<void> {
  const cache = await caches.open(cacheName)
  if (note === null) await cache.delete(key)
  else await cache.put(key, Response.json(note))
}
