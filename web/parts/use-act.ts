import { useSignal, type ReadonlySignal } from '@preact/signals'
import type { Problem } from '../../schemas/api.ts'
import type { Answer } from '../page/ask.ts'

/** One act at a time towards the daemon, with its problem kept for the form. */
export interface Act {
  readonly isBusy: ReadonlySignal<boolean>
  readonly problem: ReadonlySignal<Problem | null>
  run<T>(asking: () => Promise<Answer<T>>, onDone?: (value: T) => void): Promise<void>
}

export function useAct(): Act {
  const isBusy = useSignal(false)
  const problem = useSignal<Problem | null>(null)
  return {
    isBusy,
    problem,
    async run(asking, onDone) {
      if (isBusy.value) return
      isBusy.value = true
      const answer = await asking()
      isBusy.value = false
      problem.value = answer.ok ? null : answer.problem
      if (answer.ok) onDone?.(answer.value)
    },
  }
}
