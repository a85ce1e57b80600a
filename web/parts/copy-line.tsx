import { useSignal } from '@preact/signals'
import { useRef } from 'preact/hooks'

/** A line of text to copy. Where the browser allows no clipboard (plain http), the line is selected instead. */
export function CopyLine({ text, label }: { text: string; label: string }) {
  const said = useSignal('')
  const line = useRef<HTMLElement>(null)

  const copy = async (): Promise<void> => {
    try {
      await navigator.clipboard.writeText(text)
      said.value = 'Copied'
    } catch {
      const range = document.createRange()
      if (line.current !== null) range.selectNodeContents(line.current)
      const selection = getSelection()
      selection?.removeAllRanges()
      selection?.addRange(range)
      said.value = 'Selected: copy it with your keyboard'
    }
  }

  return (
    <div class="copy">
      <code ref={line} role="region" tabIndex={0} aria-label={label}>
        {text}
      </code>
      <button type="button" onClick={() => void copy()}>
        Copy
      </button>
      <span class="copy-said" role="status">
        {said}
      </span>
    </div>
  )
}
