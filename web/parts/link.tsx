import type { ComponentChildren } from 'preact'
import { usePage } from '../page/use-page.ts'

/** A link inside the dashboard: ordinary for the browser, without a reload. */
export function Link({
  to,
  children,
  ...rest
}: {
  to: string
  children: ComponentChildren
  class?: string
  current?: boolean
}) {
  const { route } = usePage()
  return (
    <a
      href={to}
      class={rest.class}
      aria-current={rest.current === true ? 'page' : undefined}
      onClick={(event) => {
        if (event.metaKey || event.ctrlKey || event.shiftKey || event.button !== 0) return
        event.preventDefault()
        route.go(to)
      }}
    >
      {children}
    </a>
  )
}
