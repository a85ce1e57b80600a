import { useComputed, useSignal } from '@preact/signals'
import { useEffect, useMemo, useRef } from 'preact/hooks'
import type { NightCurve } from '../../schemas/api.ts'
import { usePage } from '../page/use-page.ts'
import { quantityName } from '../words/names.ts'
import { chartData, summaryOf } from './chart-data.ts'
import { FaultList } from './fault-list.tsx'
import { faultWords, type NamesHere } from './fault-words.ts'
import { marksAt, stretchWords } from './mark-words.ts'
import { type Marks, noMarks } from './marks.ts'
import type { Stretch } from './finer.ts'
import type { NightPlot } from './night-plot.ts'
import { NightTable } from './night-table.tsx'
import { SensorKey } from './sensor-key.tsx'
import { useFiner } from './use-finer.ts'
import { say } from '../../shared/words/say.ts'

/** One night of one place: curve, crosshair read-out, and the same as a table. */
export function NightChart({
  curve: whole,
  zone,
  name,
  band,
  marks = noMarks,
  names = noNames,
  runsOn = false,
}: {
  curve: NightCurve
  zone: string
  name: string
  band: string
  marks?: Marks
  /** Of what the marks are about. */
  names?: NamesHere
  /** Goes on after the morning, with every value that comes. */
  runsOn?: boolean
}) {
  const { tell, now } = usePage()
  const host = useRef<HTMLDivElement>(null)
  const plot = useRef<NightPlot | null>(null)
  const row = useSignal<number | null>(null)
  const stretch = useSignal<Stretch | null>(null)
  const curve = useFiner(whole, stretch)
  const isTable = useSignal(false)
  const newest = useRef({ curve, marks })
  newest.current = { curve, marks }
  const sensors = [...curve.series, ...marks.animals].map((one) => one.sensor).join(' ')
  const key = `${curve.place} ${curve.quantity} ${curve.night.date} ${sensors}`

  useEffect(() => {
    if (host.current === null || isTable.value) return undefined
    let isHere = true
    const draw = async (place: HTMLElement): Promise<void> => {
      // What draws comes after what says whether all is well, which a phone must not wait for
      const { createNightPlot } = await import('./night-plot.ts')
      if (!isHere) return
      plot.current = createNightPlot(
        place,
        newest.current.curve,
        newest.current.marks,
        zone,
        tell,
        () => now.peek(),
        (at) => {
          row.value = at
        },
        (seen) => {
          stretch.value = seen
        },
      )
    }
    // It could not be fetched: the figures are here
    void draw(host.current).catch(() => (isTable.value = true))
    return () => {
      isHere = false
      plot.current?.close()
      plot.current = null
    }
  }, [key, zone, isTable.value])
  useEffect(() => plot.current?.show(curve, marks), [curve, marks])

  const { x, lines } = useMemo(() => chartData(curve, marks.animals), [curve, marks.animals])
  const isRunning = useComputed(() => runsOn || now.value < curve.night.to).value
  const summary = useMemo(() => summaryWords(curve, isRunning, tell), [curve, isRunning, tell])
  const pointed = row.value === null ? undefined : x[row.value]
  const reading =
    pointed === undefined
      ? summary
      : `${tell.clock(pointed * 1000, zone)}  ${valueWords(curve, lines, row.value ?? 0, tell)}`
  const marked = pointed === undefined ? '' : marksAt(marks, pointed * 1000, names)
  const hasMarks = marks.doors.length + marks.runs.length + marks.faults.length > 0

  const onKey = (event: KeyboardEvent): void => {
    const at = row.value ?? x.length - 1
    // read out even while what draws is still on its way
    const point = (to: number): void => {
      const held = Math.min(Math.max(0, to), x.length - 1)
      if (plot.current === null) row.value = held
      else plot.current.point(held)
    }
    const steps: Record<string, () => void> = {
      ArrowLeft: () => point(at - (event.shiftKey ? 10 : 1)),
      ArrowRight: () => point(at + (event.shiftKey ? 10 : 1)),
      PageUp: () => point(at - 60),
      PageDown: () => point(at + 60),
      Home: () => point(0),
      End: () => point(x.length - 1),
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
          aria-label={say('Show {name} as a table', { name })}
          onClick={() => (isTable.value = !isTable.value)}
        >
          {say('table')}
        </button>
      </figcaption>
      {isTable.value ? (
        <NightTable curve={curve} zone={zone} name={name} marks={marks} names={names} />
      ) : (
        <div
          ref={host}
          class="night-plot"
          role="slider"
          tabIndex={0}
          aria-label={say(
            '{part} in {name}, night of {date}: {summary}{part2}{marks}. Arrow keys read it out.',
            {
              part: quantityName[curve.quantity],
              name,
              date: tell.date(curve.night.date),
              summary,
              part2: band === '' ? '' : `, ${band}`,
              marks: marksWords(curve, marks, names, zone, tell),
            },
          )}
          aria-valuemin={0}
          aria-valuemax={x.length - 1}
          aria-valuenow={row.value ?? x.length - 1}
          aria-valuetext={marked === '' ? reading : `${reading} · ${marked}`}
          onKeyDown={onKey}
        />
      )}
      {hasMarks && !isTable.value && <p class="night-marked">{marked}</p>}
      <SensorKey curve={curve} marks={marks} />
      <FaultList faults={marks.faults} night={curve.night} zone={zone} names={names} />
    </figure>
  )
}

const noNames: NamesHere = { here: '', place: (id) => id, sensor: (id) => id }

/** `, door opened 18:20, 19:05, not cooling 01:10 to 02:30`. */
function marksWords(
  { night }: NightCurve,
  { doors, faults }: Marks,
  names: NamesHere,
  zone: string,
  tell: ReturnType<typeof usePage>['tell'],
): string {
  const opened =
    doors.length === 0
      ? ''
      : say(', door opened {doors}', { doors: doors.map(({ at }) => tell.clock(at, zone)).join(', ') })
  const stood = faults.map((one) => `, ${faultWords(one, names)} ${stretchWords(one, night, tell, zone)}`)
  return `${opened}${stood.slice(-mostSaid).join('')}`
}

/** A name that is read out aloud: the newest few alarms; the list below has more. */
const mostSaid = 3

function summaryWords(
  curve: NightCurve,
  isRunning: boolean,
  tell: ReturnType<typeof usePage>['tell'],
): string {
  const summary = summaryOf(curve)
  if (summary === null) return say('no readings')
  const { low, high } = summary
  const [from, to] = [tell.figure(low, curve.quantity), tell.value(high, curve.quantity)]
  const range = tell.value(low, curve.quantity) === to ? to : say('{from} to {to}', { from, to })
  return `${range}${isRunning ? say(' so far') : ''}`
}

function valueWords(
  curve: NightCurve,
  lines: readonly (readonly (number | null | undefined)[])[],
  row: number,
  tell: ReturnType<typeof usePage>['tell'],
): string {
  const values = lines.map((line) => line[row] ?? null).filter((value) => value !== null)
  return values.length === 0
    ? say('nothing')
    : values.map((value) => tell.value(value, curve.quantity)).join(' · ')
}
