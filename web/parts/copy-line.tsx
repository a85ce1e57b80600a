import { useSignal } from '@preact/signals'
import { say } from '../../shared/words/say.ts'

/** A line of text to copy; `shown` stands for it on screen where a secret in it is hidden. */
export function CopyLine({ text, shown = text, label }: { text: string; shown?: string; label: string }) {
  const said = useSignal('')
  const copy = async (): Promise<void> => {
    said.value = (await isCopied(text))
      ? say('Copied')
      : say('This browser does not let a page copy: select the line by hand.')
  }
  return (
    <div class="copy">
      <code role="region" tabIndex={0} aria-label={label}>
        {shown}
      </code>
      <button type="button" onClick={() => void copy()}>
        {say('Copy')}
      </button>
      <span class="copy-said" role="status">
        {said}
      </span>
    </div>
  )
}

async function isCopied(text: string): Promise<boolean> {
  try {
    await navigator.clipboard.writeText(text)
    return true
  } catch {
    return isCopiedTheOldWay(text)
  }
}

/** Over plain http, the usual case at home, browsers offer no clipboard but this. */
function isCopiedTheOldWay(text: string): boolean {
  const before = document.activeElement
  const area = document.createElement('textarea')
  area.value = text
  area.className = 'unseen'
  document.body.append(area)
  area.select()
  const done = document.execCommand('copy')
  area.remove()
  if (before instanceof HTMLElement) before.focus()
  return done
}
