import { useEffect } from 'preact/hooks'
import type { AnswerNow } from '../../schemas/telling-now.ts'
import type { Answering } from './answering.ts'
import { PressButton } from './press-button.tsx'
import { say } from '../../shared/words/say.ts'

/** "Did it ring?", asked by the link of a test. */
export function RingAnswer({ answering, seen }: { answering: Answering; seen: AnswerNow }) {
  const isDone = answering.done.value !== null
  const heading = isDone ? say('It rang') : say('Did it ring?')
  useEffect(() => {
    document.title = say('{heading} · Brumal', { heading })
  }, [heading])
  return (
    <>
      <h1>{heading}</h1>
      <PressButton
        answering={answering}
        words={say('Yes, it rang')}
        canPress
        stands={seen.sentence}
        thanks="" // the sentence brings its own
      />
      {!isDone ? (
        <p class="hint">
          {say(
            "If it came without a sound, allow it to ring through silence and sleep mode in the phone's own settings, and test again. Do not say yes: an alarm at night would be as quiet.",
          )}
        </p>
      ) : (
        <p class="hint">{say('An alarm would reach you the same way. You can close this page.')}</p>
      )}
    </>
  )
}
