import { useSignal, type ReadonlySignal } from '@preact/signals'
import { useEffect, useRef } from 'preact/hooks'
import type { Problem } from '../../schemas/api.ts'
import type { CalibratedQuantity } from '../../schemas/calibration.ts'
import type { RawReadings } from '../../schemas/sensor-check.ts'
import type { IceReading } from '../../shared/sensing/ice-point-readings.ts'
import { pathTo, query } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'

/** Asked at once when something is heard from the sensor, and this often in case that is missed, in ms. */
const askEvery = 5000

export interface Raw {
  readonly readings: ReadonlySignal<readonly IceReading[]>
  readonly problem: ReadonlySignal<Problem | null>
  /** Whether the daemon has answered at all. */
  readonly isHere: ReadonlySignal<boolean>
}

/** What the sensor has said since then, uncorrected, growing while one looks. */
export function useRaw(sensor: string, quantity: CalibratedQuantity, since: number): Raw {
  const { ask, event } = usePage()
  const readings = useSignal<readonly IceReading[]>([])
  const problem = useSignal<Problem | null>(null)
  const isHere = useSignal(false)
  /** Which question is being followed: its number, and whether anybody still looks. */
  const followed = useRef({ number: 0, isOver: false })
  const isBusy = useRef(false)
  /** Something was heard while a question was under way: its answer may lack that. */
  const isDue = useRef(false)

  const follow = async (): Promise<void> => {
    if (followed.current.isOver) return
    isDue.current = isBusy.current
    if (isBusy.current) return
    isBusy.current = true
    const { number } = followed.current
    const newest = readings.peek().at(-1)?.at
    const from = newest === undefined ? since : newest + 1
    const path = pathTo('sensors', sensor, 'raw') + query({ quantity, since: from })
    const answer = await ask<RawReadings>('GET', path)
    isBusy.current = false
    if (number !== followed.current.number) return latest.current() // it was another quantity's
    problem.value = answer.ok ? null : answer.problem
    if (!answer.ok) return
    isHere.value = true
    if (answer.value.readings.length > 0) readings.value = [...readings.peek(), ...answer.value.readings]
    if (isDue.current) await follow()
  }
  const latest = useRef(follow)
  latest.current = follow

  useEffect(() => {
    followed.current = { number: followed.current.number + 1, isOver: false }
    readings.value = []
    isHere.value = false
    void follow()
    const timer = setInterval(() => void latest.current(), askEvery)
    return () => {
      followed.current = { number: followed.current.number + 1, isOver: true }
      clearInterval(timer)
    }
  }, [sensor, quantity, since])
  // Each event, not the last of several in one frame, which is all that an effect of the hooks sees
  useEffect(
    () =>
      event.subscribe((heard) => {
        if (heard?.kind === 'value' && heard.value.sensor === sensor) void latest.current()
      }),
    [sensor],
  )
  return { readings, problem, isHere }
}
