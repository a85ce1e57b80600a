import type { Evidence } from '../../schemas/species.ts'
import { evidenceName } from '../words/names.ts'
import { say } from '../../shared/words/say.ts'

interface Sourced {
  readonly source: string | null
  readonly evidence: Evidence | null
}

/** Where the figures behind some sentences stand, each source once. */
export function SourcesList({ of }: { of: readonly Sourced[] }) {
  const lines = of.flatMap(({ source, evidence }) =>
    source === null || source === '' ? [] : [sourceWords(source, evidence)],
  )
  const known = [...new Set(lines)]
  if (known.length === 0) return null
  return (
    <details class="sources">
      <summary>{say('Where this comes from')}</summary>
      <ul>
        {known.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </details>
  )
}

/** `Jackson 1980 (read in the source)` */
export const sourceWords = (source: string, evidence: Evidence | null): string =>
  evidence === null ? source : `${source} (${evidenceName[evidence]})`
