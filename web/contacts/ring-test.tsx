import { useSignal } from '@preact/signals'
import type { Channel, Contact } from '../../schemas/contact.ts'
import type { MessageLine } from '../../schemas/telling-now.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import type { Act } from '../parts/use-act.ts'
import { ringAdvice } from './ring-advice.ts'
import { noteRang } from './save-contact.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** What came of the test, and the one question that only somebody beside the phone can answer. */
export function RingTest({
  line,
  contact,
  channel,
  act,
  onDone,
}: {
  line: MessageLine
  contact: Contact
  channel: Channel
  act: Act
  onDone: (sentence: string) => void
}) {
  const page = usePage()
  const isSilent = useSignal(false)
  if (line.state !== 'delivered')
    return (
      <div class="ring-test">
        <p role="status">
          <strong>{line.state === 'waiting' ? say('Not delivered yet.') : say('Not delivered.')}</strong>{' '}
          {line.outcome}
          {line.state === 'waiting' && say(' It is tried again.')}
        </p>
      </div>
    )
  return (
    <div class="ring-test">
      <p role="status">
        {sayWith('Sent: {part} {strong}', {
          part: line.outcome ?? 'delivered.',
          strong: <strong>{say('Did it ring?')}</strong>,
        })}
      </p>
      <div class="form-acts">
        <button
          type="button"
          disabled={act.isBusy.value}
          onClick={() =>
            void act.run(
              () => noteRang(page, contact.id, channel),
              () => onDone(say('Noted: it rang.')),
            )
          }
        >
          {sayWith('It rang{unseen}', {
            unseen: <span class="unseen">{say(' on {label}', { label: channel.label })}</span>,
          })}
        </button>
        <button
          type="button"
          class="quiet"
          aria-expanded={isSilent.value}
          onClick={() => (isSilent.value = !isSilent.value)}
        >
          {sayWith('It did not{unseen}', {
            unseen: <span class="unseen">{say(' ring on {label}', { label: channel.label })}</span>,
          })}
        </button>
      </div>
      {isSilent.value && (
        <ul class="advice">
          {ringAdvice[channel.kind].map((one) => (
            <li key={one}>{one}</li>
          ))}
        </ul>
      )}
      <ProblemNote problem={act.problem.value} />
    </div>
  )
}
