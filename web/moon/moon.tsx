import type { Standing } from '../../schemas/api.ts'
import type { Priority } from '../../schemas/band.ts'
import { priorityWord } from '../../shared/telling/words.ts'
import { standingName } from '../words/names.ts'

/** high: full disc · medium: half disc · low: thin crescent. Told apart by shape alone, so they read in grey. */
export function Moon({ priority }: { priority: Priority }) {
  return (
    <svg class={`moon moon-${priority}`} viewBox="0 0 20 20" aria-hidden="true" focusable="false">
      <MoonShape priority={priority} />
    </svg>
  )
}

/** The same within another drawing, in a square of 20. */
export function MoonShape({ priority }: { priority: Priority }) {
  switch (priority) {
    case 'high':
      return <circle class="moon-lit" cx="10" cy="10" r="8.5" />
    case 'medium':
      return (
        <>
          <path class="moon-lit" d="M10 1.5a8.5 8.5 0 0 1 0 17z" />
          <circle class="moon-rim" cx="10" cy="10" r="8" />
        </>
      )
    case 'low':
      return <path class="moon-lit" d="M7 1.5a8.5 8.5 0 0 1 0 17a12 12 0 0 0 0-17z" />
    default:
      return priority satisfies never
  }
}

/** A priority as its moon and its word. */
export function PrioritySign({ priority }: { priority: Priority }) {
  return (
    <span class={`sign sign-${priority}`}>
      <Moon priority={priority} /> {priorityWord[priority]}
    </span>
  )
}

/** How a place stands: colour and a moon only where it is outside. */
export function StandingSign({ standing, priority }: { standing: Standing; priority: Priority | null }) {
  if (standing === 'out' && priority !== null) return <PrioritySign priority={priority} />
  return (
    <span class={`sign sign-${standing}`}>
      <svg class={`moon moon-${standing}`} viewBox="0 0 20 20" aria-hidden="true" focusable="false">
        {standing === 'idle' ? (
          <path class="moon-rim" d="M4 10h12" />
        ) : (
          <circle class="moon-rim" cx="10" cy="10" r="7.5" />
        )}
        {standing === 'leaving' && <circle class="moon-lit" cx="16" cy="4" r="3.5" />}
      </svg>{' '}
      {standingName[standing]}
    </span>
  )
}
