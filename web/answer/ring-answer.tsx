import { useEffect } from 'preact/hooks'
import type { AnswerNow } from '../../schemas/telling-now.ts'
import type { Answering } from './answering.ts'
import { PressButton } from './press-button.tsx'

/** "Did it ring?", asked by the link of a test. */
export function RingAnswer({ answering, seen }: { answering: Answering; seen: AnswerNow }) {
  const isDone = answering.done.value !== null
  const heading = isDone ? 'It rang' : 'Did it ring?'
  useEffect(() => {
    document.title = `${heading} · Brumal`
  }, [heading])
  return (
    <>
      <h1>{heading}</h1>
      <PressButton
        answering={answering}
        words="Yes, it rang"
        canPress
        stands={seen.sentence}
        thanks="" // the sentence brings its own
      />
      {!isDone ? (
        <p class="hint">
          If it came without a sound, allow it to ring through silence and sleep mode in the phone's own
          settings, and test again. Do not say yes: an alarm at night would be as quiet.
        </p>
      ) : (
        <p class="hint">An alarm would reach you the same way. You can close this page.</p>
      )}
    </>
  )
}
