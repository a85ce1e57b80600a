import { durationWords } from '../../shared/telling/words.ts'
import { say } from '../../shared/words/say.ts'
import { ShelfForm } from '../alarms/shelf-form.tsx'
import { shelfMinutesUpTo } from '../alarms/shelf-minutes.ts'
import type { Answering } from './answering.ts'

/** Sets the alarm aside by the link of a message; only a keeper's link offers it (A2). `longest` in ms. */
export function ShelveByLink({ answering, longest }: { answering: Answering; longest: number }) {
  return (
    <details class="answer-part">
      <summary>{say('Shelve it for a while')}</summary>
      <ShelfForm
        label={say('Shelve it for a while')}
        hint={say('At most {duration}. Nobody is told until then, whatever happens.', {
          duration: durationWords(longest),
        })}
        minutes={shelfMinutesUpTo(longest)}
        shelve={(minutes, reason) => answering.shelve(minutes, reason)}
      />
    </details>
  )
}
