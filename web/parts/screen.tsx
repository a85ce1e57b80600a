import type { ComponentChildren } from 'preact'
import { useEffect, useRef } from 'preact/hooks'

/** A screen's main part. Sets the title, and takes the focus to the heading when the reader came by a link. */
export function Screen({
  title,
  heading,
  children,
}: {
  title: string
  heading: ComponentChildren
  children: ComponentChildren
}) {
  const head = useRef<HTMLHeadingElement>(null)
  useEffect(() => {
    document.title = `${title} · Brumal`
  }, [title])
  useEffect(() => {
    if (document.activeElement instanceof HTMLAnchorElement) head.current?.focus()
  }, [])
  return (
    <main class="screen">
      <h1 ref={head} tabIndex={-1}>
        {heading}
      </h1>
      {children}
    </main>
  )
}
