import { useComputed, useSignal } from '@preact/signals'
import { useEffect, useMemo, useRef } from 'preact/hooks'
import type { NightCurve } from '../../schemas/api.ts'
import { usePage } from '../page/use-page.ts'
import { quantityName } from '../words/names.ts'
import type { Opening } from '../words/thermal-words.ts'
import { chartData, openedIn, summaryOf } from './chart-data.ts'
import { createNightPlot, type NightPlot } from './night-plot.ts'
import { NightTable } from './night-table.tsx'
import { SensorKey } from './sensor-key.tsx'

/** One night of one place: curve, crosshair read-out, and the same as a table. */
export function NightChart({
  curve,
  zone,
  name,
  band,
  doors = noDoors,
  runsOn = false,
}: {
  curve: NightCurve
  zone: string
  name: string
  band: string
  /** Openings of the door, marked along the bottom; those of other nights are left out. */
  doors?: readonly Opening[]
  /** Goes on after the morning, with every value that comes. */
  runsOn?: boolean
}) {
  const { tell, now } = usePage()
  const host = useRef<HTMLDivElement>(null)
  const plot = useRef<NightPlot | null>(null)
  const row = useSignal<number | null>(null)
  const isTable = useSignal(false)
  const key = `${curve.place} ${curve.quantity} ${curve.night.date} ${curve.series.map((one) => one.sensor).join(' ')}`

  useEffect(() => {
    if (host.current === null || isTable.value) return undefined
    const made = createNightPlot(host.current, curve, zone, tell, (at) => {
      row.value = at
    })
    plot.current = made
    return () => {
      plot.current = null
      made.close()
    }
  }, [key, zone, isTable.value])
  useEffect(() => plot.current?.show(curve), [curve])

  const { x, lines } = useMemo(() => chartData(curve), [curve])
  const opened = useMemo(() => openedIn(curve.night, doors), [curve.night.from, curve.night.to, doors])
  useEffect(() => plot.current?.mark(opened), [opened, key, isTable.value])
  const isRunning = useComputed(() => runsOn || now.value < curve.night.to).value
  const summary = summaryWords(curve, isRunning, tell)
  const pointed = row.value === null ? undefined : x[row.value]
  const reading =
    pointed === undefined
      ? summary
      : `${tell.clock(pointed * 1000, zone)}  ${valueWords(curve, lines, row.value ?? 0, tell)}`

  const onKey = (event: KeyboardEvent): void => {
    const at = row.value ?? x.length - 1
    const steps: Record<string, () => void> = {
      ArrowLeft: () => plot.current?.point(Math.max(0, at - (event.shiftKey ? 10 : 1))),
      ArrowRight: () => plot.current?.point(Math.min(x.length - 1, at + (event.shiftKey ? 10 : 1))),
      PageUp: () => plot.current?.point(Math.max(0, at - 60)),
      PageDown: () => plot.current?.point(Math.min(x.length - 1, at + 60)),
      Home: () => plot.current?.point(0),
      End: () => plot.current?.point(x.length - 1),
      '+': () => plot.current?.zoom(0.5),
      '-': () => plot.current?.zoom(2),
      Escape: () => {
        plot.current?.zoom(null)
        plot.current?.point(null)
      },
    }
    const step = steps[event.key]
    if (step === undefined) return
    event.preventDefault()
    step()
  }

  return (
    <figure class="night">
      <figcaption class="night-head">
        <span class="night-reading">{reading}</span>
        <button
          type="button"
          class="quiet"
          aria-pressed={isTable.value}
          aria-label={`Show ${name} as a table`}
          onClick={() => (isTable.value = !isTable.value)}
        >
          table
        </button>
      </figcaption>
      {isTable.value ? (
        <NightTable curve={curve} zone={zone} name={name} doors={opened} />
      ) : (
        <div
          ref={host}
          class="night-plot"
          role="slider"
          tabIndex={0}
          aria-label={`${quantityName[curve.quantity]} in ${name}, night of ${tell.date(curve.night.date)}: ${summary}${band === '' ? '' : `, ${band}`}${doorWords(opened, zone, tell)}. Arrow keys read it out.`}
          aria-valuemin={0}
          aria-valuemax={x.length - 1}
          aria-valuenow={row.value ?? x.length - 1}
          aria-valuetext={reading}
          onKeyDown={onKey}
        />
      )}
      <SensorKey curve={curve} hasDoors={opened.length > 0} />
    </figure>
  )
}

const noDoors: readonly Opening[] = []

/** `, door opened 18:20, 19:05`. */
function doorWords(
  opened: readonly Opening[],
  zone: string,
  tell: ReturnType<typeof usePage>['tell'],
): string {
  return opened.length === 0 ? '' : `, door opened ${opened.map(({ at }) => tell.clock(at, zone)).join(', ')}`
}

function summaryWords(
  curve: NightCurve,
  isRunning: boolean,
  tell: ReturnType<typeof usePage>['tell'],
): string {
  const summary = summaryOf(curve)
  if (summary === null) return 'no readings'
  const { low, high } = summary
  const [from, to] = [tell.figure(low, curve.quantity), tell.value(high, curve.quantity)]
  const range = tell.value(low, curve.quantity) === to ? to : `${from} to ${to}`
  return `${range}${isRunning ? ' so far' : ''}`
}

function valueWords(
  curve: NightCurve,
  lines: readonly (readonly (number | null | undefined)[])[],
  row: number,
  tell: ReturnType<typeof usePage>['tell'],
): string {
  const values = lines.map((line) => line[row] ?? null).filter((value) => value !== null)
  return values.length === 0
    ? 'nothing'
    : values.map((value) => tell.value(value, curve.quantity)).join(' · ')
}
