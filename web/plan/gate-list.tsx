import type { Gate } from '../../schemas/season.ts'
import { checkName, gateStandingName } from '../words/plan-words.ts'
import { SourceNote } from './source-note.tsx'

/** What must be met before an animal goes down (S1): what is missing first. */
export function GateList({ gate }: { gate: Gate }) {
  const sorted = gate.items.toSorted((one, other) => rank[one.standing] - rank[other.standing])
  return (
    <ul class="gate">
      {sorted.map((item) => (
        <li key={item.check} class={`gate-${item.standing}`}>
          <span class="gate-sign" aria-hidden="true">
            {sign[item.standing]}
          </span>
          <span>
            <strong>{checkName[item.check]}</strong>{' '}
            <span class="soft">{gateStandingName[item.standing]}.</span> {item.sentence}
            <SourceNote source={item.source} evidence={item.evidence} />
          </span>
        </li>
      ))}
    </ul>
  )
}

const rank = { against: 0, missing: 1, met: 2 } as const
const sign = { against: '×', missing: '?', met: '✓' } as const
