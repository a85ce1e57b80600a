import { useSignal, useSignalEffect, type ReadonlySignal, type Signal } from '@preact/signals'
import { useRef } from 'preact/hooks'
import type { Problem } from '../../schemas/api.ts'
import type { PlanWish } from '../../schemas/animal.ts'
import type { PlanProposal } from '../../schemas/season.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'

/** While somebody types or holds a key down, one question is enough, ms. */
const restMs = 200

/** The winter as it is reckoned from the wish as it stands; the last one stays until the next is there. */
export function useProposal(
  animal: string,
  wish: Signal<PlanWish>,
  isOpen: ReadonlySignal<boolean>,
): {
  readonly proposal: ReadonlySignal<PlanProposal | null>
  readonly problem: ReadonlySignal<Problem | null>
} {
  const { ask } = usePage()
  const proposal = useSignal<PlanProposal | null>(null)
  const problem = useSignal<Problem | null>(null)
  const newest = useRef(0)
  useSignalEffect(() => {
    if (!isOpen.value) return undefined
    const asked = wish.value
    newest.current += 1
    const mine = newest.current
    const wait = setTimeout(
      () => {
        void ask<PlanProposal>('POST', pathTo('animals', animal, 'proposal'), asked).then((answer) => {
          if (mine !== newest.current) return
          problem.value = answer.ok ? null : answer.problem
          if (answer.ok) proposal.value = answer.value
        })
      },
      proposal.peek() === null ? 0 : restMs,
    )
    return () => clearTimeout(wait)
  })
  return { proposal, problem }
}
