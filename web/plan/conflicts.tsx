import type { PlanConflict } from '../../schemas/season.ts'
import { SourceNote } from './source-note.tsx'
import { held } from '../words/held.ts'
import { say } from '../../shared/words/say.ts'

/** What speaks against a plan: what is refused first. */
export function Conflicts({ conflicts }: { conflicts: readonly PlanConflict[] }) {
  if (conflicts.length === 0) return null
  const sorted = conflicts.toSorted((one, other) => rank[one.weight] - rank[other.weight])
  return (
    <ul class="conflicts">
      {sorted.map((conflict) => (
        <li key={`${conflict.kind} ${conflict.sentence}`} class={`conflict-${conflict.weight}`}>
          <strong>{conflict.weight === 'refused' ? say('Against it:') : say('Mind:')}</strong>{' '}
          {held(conflict.sentence)}
          <SourceNote source={conflict.source} evidence={conflict.evidence} />
        </li>
      ))}
    </ul>
  )
}

const rank = { refused: 0, warning: 1 } as const
