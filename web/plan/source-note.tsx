import type { Evidence } from '../../schemas/species.ts'
import { sourceWords } from '../animals/sources-list.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** Where a sentence comes from, a press away. */
export function SourceNote({ source, evidence }: { source: string | null; evidence: Evidence | null }) {
  if (source === null) return null
  return (
    <details class="source-note">
      <summary>
        {sayWith('source{unseen}', { unseen: <span class="unseen">{say(' of this')}</span> })}
      </summary>
      <span class="soft">{sourceWords(source, evidence)}</span>
    </details>
  )
}
