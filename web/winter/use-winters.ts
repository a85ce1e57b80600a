import { useSignal, type ReadonlySignal } from '@preact/signals'
import { useEffect, useRef } from 'preact/hooks'
import type { Problem, Winter } from '../../schemas/api.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { pathTo, query } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'

export interface Winters {
  /** In the order asked for, as far as they are here; all of one place and one quantity. */
  readonly winters: readonly Winter[]
  readonly problem: Problem | null
  readonly isBusy: boolean
}

const none: Winters = { winters: [], problem: null, isBusy: true }

/**
 * One place's winters by season; null is the newest heard. Asked anew when the choice changes, when a night has ended and
 * when the stream is back. What was shown stays until the answer is here.
 */
export function useWinters(
  place: string,
  quantity: Quantity,
  seasons: readonly (string | null)[],
): ReadonlySignal<Winters> {
  const page = usePage()
  const state = useSignal<Winters>(none)
  const newest = useRef(0)
  const key = seasons.map((season) => season ?? '').join(' ')
  const night = page.tonight.value?.night.date
  const returns = page.returns.value

  useEffect(() => {
    newest.current += 1
    const mine = newest.current
    state.value = { ...state.peek(), isBusy: true }
    const path = pathTo('places', place, 'winter')
    const asked = seasons.map((season) => page.ask<Winter>('GET', path + query({ quantity, season })))
    void Promise.all(asked).then((answers) => {
      if (mine !== newest.current) return // an answer to an earlier question
      const failed = answers.find((answer) => !answer.ok)
      state.value = {
        winters: answers.flatMap((answer) => (answer.ok ? [answer.value] : [])),
        problem: failed === undefined || failed.ok ? null : failed.problem,
        isBusy: false,
      }
    })
    return () => {
      newest.current += 1
    }
  }, [place, quantity, key, night, returns])
  return state
}
