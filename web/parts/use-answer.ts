import { useSignal, type ReadonlySignal } from '@preact/signals'
import { useEffect, useRef } from 'preact/hooks'
import type { Problem } from '../../schemas/api.ts'
import { usePage } from '../page/use-page.ts'

export interface Answered<T> {
  readonly value: ReadonlySignal<T | null>
  readonly problem: ReadonlySignal<Problem | null>
  readonly isBusy: ReadonlySignal<boolean>
  again(): void
}

/** Whether each has been answered once, well or not: what is drawn from them all need not move any more. */
export const areSettled = (...answers: readonly Answered<unknown>[]): boolean =>
  answers.every(({ value, problem }) => value.value !== null || problem.value !== null)

/** The newest answer to `GET path`; asked anew when the path changes and when `again` is called. */
export function useAnswer<T>(path: string): Answered<T> {
  const { ask } = usePage()
  const value = useSignal<T | null>(null)
  const problem = useSignal<Problem | null>(null)
  const isBusy = useSignal(false)
  const newest = useRef(0)

  const again = (): void => {
    newest.current += 1
    const mine = newest.current
    isBusy.value = true
    void ask<T>('GET', path).then((answer) => {
      if (mine !== newest.current) return // an answer to an earlier question
      isBusy.value = false
      problem.value = answer.ok ? null : answer.problem
      if (answer.ok) value.value = answer.value
    })
  }
  useEffect(again, [path])
  return { value, problem, isBusy, again }
}
