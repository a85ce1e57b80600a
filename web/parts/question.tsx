import { useEffect, useRef } from 'preact/hooks'
import { say } from '../../shared/words/say.ts'

/**
 * Asks before what cannot be taken back. The focus comes here, so that the question is read out; Escape and "no" take it
 * back whence it came.
 */
export function Question({
  question,
  yes,
  no = say('Leave it as it is'),
  isBusy,
  onYes,
  onNo,
}: {
  question: string
  yes: string
  no?: string
  isBusy: boolean
  onYes: () => void
  onNo: () => void
}) {
  const group = useRef<HTMLDivElement>(null)
  useEffect(() => {
    const before = document.activeElement
    const here = group.current
    here?.focus()
    return () => {
      // Not where what was done has taken the focus elsewhere
      const now = document.activeElement
      const isLeft = now === null || now === document.body || here?.contains(now) === true
      if (isLeft && before instanceof HTMLElement) before.focus()
    }
  }, [])
  return (
    <div
      ref={group}
      class="question"
      role="group"
      aria-label={question}
      tabIndex={-1}
      onKeyDown={(event) => {
        if (event.key === 'Escape') onNo()
      }}
    >
      <p>{question}</p>
      <div class="form-acts">
        <button type="button" class="strong" disabled={isBusy} onClick={onYes}>
          {yes}
        </button>
        <button type="button" class="quiet" onClick={onNo}>
          {no}
        </button>
      </div>
    </div>
  )
}
