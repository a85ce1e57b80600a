import { useEffect, useRef } from 'preact/hooks'

/**
 * Asks before what cannot be taken back. The focus comes here, so that the question is read out; Escape and "no" take it
 * back whence it came.
 */
export function Question({
  question,
  yes,
  no = 'Leave it as it is',
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
    group.current?.focus()
    return () => {
      // Only where the focus is nowhere now: what was done may have taken it elsewhere
      const isNowhere = document.activeElement === null || document.activeElement === document.body
      if (isNowhere && before instanceof HTMLElement) before.focus()
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
