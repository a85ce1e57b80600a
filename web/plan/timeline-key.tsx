import { phaseName } from '../words/plan-words.ts'

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
        <span class="key-draft" aria-hidden="true" /> in preparation
      </span>
      <span>
        <span class="key-now" aria-hidden="true" /> today
      </span>
    </figcaption>
  )
}
