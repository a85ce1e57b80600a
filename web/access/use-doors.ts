import { useSignalEffect } from '@preact/signals'
import type { JournalKind } from '../../schemas/journal.ts'
import { usePage } from '../page/use-page.ts'
import { useAnswer, type Answered } from '../parts/use-answer.ts'

const aboutDoors: ReadonlySet<JournalKind> = new Set([
  'signedIn',
  'signedOut',
  'passwordChanged',
  'invited',
  'joined',
  'accessChanged',
])

/** The newest answer to a question about the doors; asked anew when the journal tells of one. */
export function useDoors<T>(path: string): Answered<T> {
  const page = usePage()
  const answered = useAnswer<T>(path)
  useSignalEffect(() => {
    const event = page.event.value
    if (event?.kind === 'journal' && aboutDoors.has(event.line.kind)) answered.again()
  })
  return answered
}
