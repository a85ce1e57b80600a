import type { ReadonlySignal } from '@preact/signals'
import type { ComponentChildren } from 'preact'

/** One part of Set-up. `said`: what has just been done, read out and shown under the heading. */
export function Part({
  id,
  title,
  said,
  children,
}: {
  id: string
  title: string
  said?: ReadonlySignal<string>
  children: ComponentChildren
}) {
  return (
    <section class="part" aria-labelledby={`part-${id}`}>
      <h2 id={`part-${id}`} tabIndex={-1}>
        {title}
      </h2>
      {said !== undefined && (
        <p class="part-said" role="status">
          {said}
        </p>
      )}
      {children}
    </section>
  )
}

/** Takes the focus to a part's heading: the line that had it is gone. */
export const focusPart = (id: string): void => document.getElementById(`part-${id}`)?.focus()
