import type { ComponentChildren } from 'preact'
import { useEffect, useRef } from 'preact/hooks'

/** One stage of a check. Takes the focus to its heading where the button that led here is gone. */
export function Stage({ title, children }: { title: string; children: ComponentChildren }) {
  const head = useRef<HTMLHeadingElement>(null)
  useEffect(() => {
    if (document.activeElement === document.body) head.current?.focus()
  }, [title])
  return (
    <div class="stage">
      <h3 ref={head} tabIndex={-1}>
        {title}
      </h3>
      {children}
    </div>
  )
}
