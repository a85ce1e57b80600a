import { useComputed, useSignal, useSignalEffect, type ReadonlySignal } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import type { NightCurve, Problem } from '../../schemas/api.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { pathTo, query, type Answer } from '../page/ask.ts'
import { curveAfter } from '../page/heard.ts'
import { usePage } from '../page/use-page.ts'

export type CurveNow =
  | { readonly name: 'waiting' }
  | { readonly name: 'here'; readonly curve: NightCurve }
  | { readonly name: 'failed'; readonly problem: Problem }

/** Curves are fetched anew at least this often, in ms, so that late readings and the night's change show. */
const renewEveryMs = 5 * 60_000

/**
 * One night's curve, kept current by the live stream. `date` null means the night now running, or the last passed and
 * the day since.
 */
export function useCurve(place: string, quantity: Quantity, date: string | null): ReadonlySignal<CurveNow> {
  const page = usePage()
  const state = useSignal<CurveNow>({ name: 'waiting' })
  const tonight = useComputed(() => page.tonight.value?.night.date)

  useEffect(() => {
    let isCurrent = true
    const fetchCurve = async (): Promise<void> => {
      const path = pathTo('places', place, 'night') + query({ quantity, date })
      const answer: Answer<NightCurve> = await page.ask('GET', path)
      if (!isCurrent) return
      if (answer.ok) state.value = { name: 'here', curve: answer.value }
      else if (state.value.name !== 'here') state.value = { name: 'failed', problem: answer.problem }
    }
    state.value = { name: 'waiting' }
    void fetchCurve()
    const timer = setInterval(() => void fetchCurve(), renewEveryMs)
    const again = (): void => void fetchCurve()
    const stop = page.returns.subscribe(firstSkipped(again))
    const stopTonight = date === null ? tonight.subscribe(firstSkipped(again)) : () => {}
    return () => {
      isCurrent = false
      clearInterval(timer)
      stop()
      stopTonight()
    }
  }, [place, quantity, date])

  useSignalEffect(() => {
    const event = page.event.value
    const now = state.peek()
    if (event?.kind !== 'value' || now.name !== 'here') return
    const next = curveAfter(now.curve, event.value, date === null)
    if (next !== now.curve) state.value = { name: 'here', curve: next }
  })
  return state
}

/** A subscription calls at once; only what comes later is wanted. */
function firstSkipped(run: () => void): () => void {
  let isFirst = true
  return () => {
    if (!isFirst) run()
    isFirst = false
  }
}
