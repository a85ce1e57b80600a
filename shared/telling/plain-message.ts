import type { Priority } from '../../schemas/band.ts'
import type { Message } from '../../schemas/outbox.ts'

/** A message that asks for no answer. */
export function plainMessage(title: string, text: string, priority: Priority, link: string | null): Message {
  return { title: title.slice(0, 120), text: text.slice(0, 2000), priority, link, acknowledgeLink: null }
}
