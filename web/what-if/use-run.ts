import { useSignal, type ReadonlySignal } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import type { Problem } from '../../schemas/api.ts'
import type { WhatIfAsk, WhatIfId, WhatIfNow } from '../../schemas/what-if.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { useAct } from '../parts/use-act.ts'

/** How often is asked how far it is, in ms: a bar that moves twice a second moves. */
const lookEvery = 500

export interface Run {
  readonly now: ReadonlySignal<WhatIfNow | null>
  readonly problem: ReadonlySignal<Problem | null>
  begin(ask: WhatIfAsk): void
  /** One that somebody began before. */
  follow(id: WhatIfId): void
  cancel(): void
}

/** A look back from its beginning to what came of it. */
export function useRun(): Run {
  const { ask } = usePage()
  const now = useSignal<WhatIfNow | null>(null)
  const act = useAct()
  const look = (id: WhatIfId): Promise<void> =>
    act.run(
      () => ask<WhatIfNow>('GET', pathTo('what-if', id)),
      (found) => (now.value = found),
    )
  useEffect(() => {
    const run = now.value
    if (run?.state !== 'running') return undefined
    const wait = setTimeout(() => {
      void look(run.id).then(() => {
        // An answer that did not come is asked for again.
        if (now.peek() === run) now.value = { ...run }
      })
    }, lookEvery)
    return () => clearTimeout(wait)
  }, [now.value])
  return {
    now,
    problem: act.problem,
    begin: (wanted) =>
      void act.run(
        () => ask<WhatIfNow>('POST', pathTo('what-if'), wanted),
        (begun) => (now.value = begun),
      ),
    follow: (id) => void look(id),
    cancel() {
      const run = now.peek()
      if (run?.state !== 'running') return
      now.value = { state: 'cancelled', id: run.id, ask: run.ask }
      void ask('DELETE', pathTo('what-if', run.id))
    },
  }
}
