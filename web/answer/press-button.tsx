import { useEffect, useRef } from 'preact/hooks'
import { sentenceOf } from '../page/ask.ts'
import type { Answering } from './answering.ts'
import { say } from '../../shared/words/say.ts'

/** The one button, and where it was once it has got through. A press that does not get through is told loudly. */
export function PressButton({
  answering,
  words,
  canPress,
  stands,
  thanks,
}: {
  answering: Answering
  words: string
  canPress: boolean
  /** How things stand, in one sentence; once pressed, `thanks` and how they stand then. */
  stands: string
  thanks: string
}) {
  const said = useRef<HTMLParagraphElement>(null)
  const wasPressed = useRef(false)
  const isDone = answering.done.value !== null
  const trouble = answering.trouble.value
  useEffect(() => {
    // The button goes once it is pressed, and the focus must not go with it
    if (isDone && wasPressed.current) said.current?.focus()
  }, [isDone])
  return (
    <div class="answer-now">
      <p ref={said} class="answer-stands" role="status" tabIndex={-1}>
        {isDone ? <strong>{`${thanks} ${stands}`.trim()}</strong> : stands}
      </p>
      {trouble !== null && (
        <div class="answer-lost" role="alert">
          <p>
            {trouble.isPress
              ? say('Your answer has not got through.')
              : say('What stands here is old. This page tries again by itself.')}
          </p>
          <p>{sentenceOf(trouble.problem)}</p>
        </div>
      )}
      {canPress && !isDone && (
        <button
          type="button"
          class="strong answer-press"
          onClick={() => {
            wasPressed.current = true
            void answering.press()
          }}
        >
          {trouble?.isPress === true
            ? say('Try again')
            : answering.isPressed.value
              ? say('Telling Brumal …')
              : words}
        </button>
      )}
    </div>
  )
}
