import { useSignal, type ReadonlySignal } from '@preact/signals'
import { useEffect, useMemo, useRef } from 'preact/hooks'
import type { NightCurve, Series } from '../../schemas/api.ts'
import { pathTo, query } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { mayBeFiner, type Stretch, withFiner } from './finer.ts'

/** A stretch is asked for once it has been left alone for so long, in ms: while a finger moves nobody reads. */
const settledAfterMs = 200

/**
 * The curve with every reading of the stretch that is on the screen, where the whole night is drawn in columns of several.
 * Until they have come, and where they cannot be had, the columns stay.
 */
export function useFiner(curve: NightCurve, stretch: ReadonlySignal<Stretch | null>): NightCurve {
  const { ask } = usePage()
  const whole = useRef(curve)
  whole.current = curve
  const closer = useSignal<{ readonly series: readonly Series[]; readonly of: Stretch } | null>(null)
  const { place, quantity, night } = curve

  useEffect(() => {
    closer.value = null
    let asked = 0
    let timer: ReturnType<typeof setTimeout> | undefined
    const look = async (of: Stretch, mine: number): Promise<void> => {
      const ends = { from: new Date(of.from).toISOString(), to: new Date(of.to).toISOString() }
      const answers = await Promise.all(
        whole.current.series.map(({ sensor }) =>
          ask<Series>('GET', pathTo('sensors', sensor, 'series') + query({ quantity, ...ends })),
        ),
      )
      if (mine !== asked) return
      closer.value = { of, series: answers.flatMap((answer) => (answer.ok ? [answer.value] : [])) }
    }
    const stop = stretch.subscribe((of) => {
      clearTimeout(timer)
      asked += 1
      if (of === null || !mayBeFiner(whole.current, of)) {
        closer.value = null
        return
      }
      const mine = asked
      timer = setTimeout(() => void look(of, mine), settledAfterMs)
    })
    return () => {
      asked += 1
      clearTimeout(timer)
      stop()
    }
  }, [place, quantity, night.date])

  const found = closer.value
  return useMemo(() => (found === null ? curve : withFiner(curve, found.series, found.of)), [curve, found])
}
