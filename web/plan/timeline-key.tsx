import { phaseName } from '../words/plan-words.ts'
import { sayWith } from '../parts/say-with.ts'

const shown = ['feedUp', 'fast', 'coolDown', 'hold', 'warmUp'] as const

/** What the strips mean. */
export function TimelineKey() {
  return (
    <figcaption class="timeline-key soft">
      {shown.map((phase) => (
        <span key={phase}>
          <span class={`phase key-phase phase-${phase}`} aria-hidden="true" /> {phaseName[phase]}
        </span>
      ))}
      <span>
        {sayWith('{keyDraft} in preparation', { keyDraft: <span class="key-draft" aria-hidden="true" /> })}
      </span>
      <span>{sayWith('{keyNow} today', { keyNow: <span class="key-now" aria-hidden="true" /> })}</span>
    </figcaption>
  )
}
