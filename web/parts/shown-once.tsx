import { useEffect, useRef } from 'preact/hooks'
import { CopyLine } from './copy-line.tsx'
import { say } from '../../shared/words/say.ts'

/** A secret that Brumal keeps no copy of: shown once, to be copied away (X4). */
export function ShownOnce({
  title,
  words,
  lines,
  onDone,
}: {
  title: string
  words: string
  lines: readonly { readonly title: string; readonly text: string }[]
  onDone: () => void
}) {
  const head = useRef<HTMLHeadingElement>(null)
  useEffect(() => head.current?.focus(), [])
  return (
    <div class="once">
      <h3 ref={head} tabIndex={-1}>
        {title}
      </h3>
      <p>{words}</p>
      {lines.map((line) => (
        <div key={line.title}>
          <p class="hint">{line.title}</p>
          <CopyLine text={line.text} label={line.title} />
        </div>
      ))}
      <button type="button" onClick={onDone}>
        {say('I have it, hide it')}
      </button>
    </div>
  )
}
