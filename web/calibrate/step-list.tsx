import type { KeeperStep } from '../../shared/sensing/ice-point-steps.ts'

/** Cautions first, then what to do in its order. */
export function StepList({ steps }: { steps: readonly KeeperStep[] }) {
  const cautions = steps.filter((step) => step.isCaution === true)
  const ordinary = steps.filter((step) => step.isCaution !== true)
  return (
    <>
      {cautions.length > 0 && (
        <ul class="check-cautions">
          {cautions.map(({ text }) => (
            <li key={text}>{text}</li>
          ))}
        </ul>
      )}
      {ordinary.length > 0 && (
        <ol class="check-steps">
          {ordinary.map(({ text }) => (
            <li key={text}>{text}</li>
          ))}
        </ol>
      )}
    </>
  )
}
