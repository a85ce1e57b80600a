import uPlot from 'uplot'
import type { NightCurve } from '../../schemas/api.ts'
import { celsiusOf, fahrenheit, reader } from '../../shared/words/reader.ts'
import type { Tell } from '../words/tell.ts'
import { chartData, limitsAt, valueRange } from './chart-data.ts'
import { animalDash, dashes } from './dashes.ts'
import { drawFoot } from './draw-foot.ts'
import { drawOver, drawUnder } from './draw-night.ts'
import type { Stretch } from './finer.ts'
import { footOf } from './foot.ts'
import { hourMarks } from './hour-marks.ts'
import type { Marks } from './marks.ts'
import { nightLine } from './night-line.ts'
import { readPaint } from './paint.ts'
import { createTouch } from './touch.ts'
import { createWheel, heldWithin } from './wheel.ts'

export interface NightPlot {
  /** With as many sensors and animals' lines as it was made with. */
  show(curve: NightCurve, marks: Marks): void
  /** Puts the crosshair on a row of the data, and shifts a stretched axis to where it is; null takes it away. */
  point(row: number | null): void
  /** Narrows the time axis to `factor` of itself round the crosshair or the middle; null shows the whole night. */
  zoom(factor: number | null): void
  close(): void
}

/** Room for the limits' numbers and for the hours, in CSS px. */
const axisWidth = 40
const axisHeight = 26
/** Between the hours and what stands above them, in CSS px. */
const hourGap = 4
/** Numbers on the value axis never stand closer than this, in CSS px. */
const numberSpace = 13
/** Room that one hour mark needs, in CSS px. */
const markSpace = 52

/** A night's curve on canvas: the band and its limits are the value axis, the hours of the place the time axis. */
export function createNightPlot(
  host: HTMLElement,
  first: NightCurve,
  firstMarks: Marks,
  zone: string,
  tell: Tell,
  now: () => number,
  onPoint: (row: number | null) => void,
  onStretch: (stretch: Stretch) => void,
): NightPlot {
  let curve = first
  let marks = firstMarks
  let paint = readPaint(host)
  let range = valueRange(curve, marks.animals)
  let foot = footOf(marks).height

  const touch = createTouch()
  let x = wholeOf(curve)
  const data = chartData(curve, marks.animals)
  const plot = new uPlot(
    {
      width: Math.max(host.clientWidth, 100),
      height: Math.max(host.clientHeight, 100),
      legend: { show: false },
      padding: [6, 18, 0, 0],
      plugins: [touch.plugin, createWheel(() => x)],
      cursor: {
        y: false,
        drag: { x: true, y: false, dist: 8 },
        points: { size: 7, width: 2 },
        bind: {
          dblclick: () => () => {
            plot.setScale('x', x)
            return null
          },
          mouseleave: (_plot, _over, leave) => (event) => (touch.isByFinger() ? null : leave(event)),
        },
      },
      scales: {
        x: { time: true, range: (_plot, min, max) => [min ?? x.min, max ?? x.max] },
        y: { range: () => range },
      },
      axes: [
        {
          stroke: () => paint.soft,
          font: paint.font,
          size: () => axisHeight + foot,
          gap: hourGap + foot,
          grid: { show: false },
          ticks: { stroke: () => paint.rule, width: 1, size: 4 },
          splits: (self, _axis, min, max) => marksFor(self, min, max, zone),
          values: (_self, splits) => splits.map((at) => tell.hour(at * 1000, zone)),
        },
        {
          stroke: () => paint.soft,
          font: paint.font,
          size: axisWidth,
          gap: 4,
          grid: { show: false },
          ticks: { show: false },
          splits: (self, _axis, min, max) => limitMarks(self, curve, min, max),
          values: (_self, splits) => splits.map((value) => tell.figure(value, curve.quantity)),
        },
      ],
      series: [
        {},
        ...curve.series.map((_one, i) => nightLine(() => paint.ink, 1.75, dashes[i % dashes.length] ?? [])),
        ...marks.animals.map(() => nightLine(() => paint.soft, 2, animalDash)),
      ],
      hooks: {
        drawClear: [(self: uPlot) => drawUnder(self, curve, marks.guards, paint)],
        draw: [
          (self: uPlot) => {
            drawOver(self, curve, marks.doors, paint)
            drawFoot(self, marks, now(), paint)
          },
        ],
        setCursor: [(self: uPlot) => onPoint(self.cursor.idx ?? null)],
        setScale: [
          ({ scales }: uPlot, key: string) => {
            const { min, max } = scales['x'] ?? {}
            if (key === 'x' && typeof min === 'number' && typeof max === 'number')
              onStretch({ from: Math.round(min * 1000), to: Math.round(max * 1000) })
          },
        ],
      },
    },
    [data.x, ...data.lines] as uPlot.AlignedData,
    host,
  )
  plot.setScale('x', x)

  const sizes = new ResizeObserver(() => {
    if (host.clientWidth > 0) plot.setSize({ width: host.clientWidth, height: host.clientHeight })
  })
  sizes.observe(host)
  const dark = matchMedia('(prefers-color-scheme: dark)')
  const repaint = (): void => {
    paint = readPaint(host)
    plot.redraw(false, true)
  }
  dark.addEventListener('change', repaint)

  return {
    show(next, nextMarks) {
      curve = next
      marks = nextMarks
      range = valueRange(curve, marks.animals)
      const height = footOf(marks).height
      const hasGrown = height !== foot
      foot = height
      const hours = plot.axes[0]
      if (hours !== undefined) hours.gap = hourGap + foot
      const { x: xs, lines } = chartData(curve, marks.animals)
      const { min, max } = plot.scales['x'] ?? {}
      const isWhole = min === x.min && max === x.max
      x = wholeOf(curve)
      plot.batch(() => {
        plot.setData([xs, ...lines] as uPlot.AlignedData, false)
        plot.setScale('x', isWhole ? x : { min: min ?? x.min, max: max ?? x.max })
      })
      if (hasGrown) plot.redraw(true, true)
    },
    point(row) {
      const at = row === null ? undefined : plot.data[0][row]
      const { min, max } = plot.scales['x'] ?? {}
      if (at !== undefined && min !== undefined && max !== undefined && (at < min || at > max)) {
        const half = (max - min) / 2 // stretched, and walked out of sight: the axis follows
        plot.setScale('x', heldWithin({ min: at - half, max: at + half }, x))
      }
      plot.setCursor({ left: at === undefined ? -10 : plot.valToPos(at, 'x'), top: 0 })
    },
    zoom(factor) {
      const { min, max } = plot.scales['x'] ?? {}
      if (factor === null || min === undefined || max === undefined) {
        plot.setScale('x', x)
        return
      }
      const middle = plot.data[0][plot.cursor.idx ?? -1] ?? (min + max) / 2
      const half = ((max - min) * factor) / 2
      plot.setScale('x', heldWithin({ min: middle - half, max: middle + half }, x))
    },
    close() {
      sizes.disconnect()
      dark.removeEventListener('change', repaint)
      plot.destroy()
    },
  }
}

/** The time axis of the whole curve, in seconds. */
const wholeOf = ({ night }: NightCurve): { min: number; max: number } => ({
  min: night.from / 1000,
  max: night.to / 1000,
})

function marksFor(plot: uPlot, min: number, max: number, zone: string): number[] {
  const room = plot.bbox.width / devicePixelRatio / markSpace
  const hours = (max - min) / 3600
  const every = [1, 2, 3, 4, 6, 12].find((step) => hours / step <= room) ?? 12
  return hourMarks(min * 1000, max * 1000, zone, every).map((at) => at / 1000)
}

/** The limits in force at the night's end, those that fit; round numbers where there are none. */
function limitMarks(plot: uPlot, curve: NightCurve, min: number, max: number): number[] {
  const { lowCritical, low, high, highCritical } = limitsAt(curve, curve.night.to - 1)
  const wanted = [low, high, lowCritical, highCritical].filter((value) => value !== null)
  if (wanted.length === 0) return roundMarks(curve, min, max)
  const perPixel = (max - min) / Math.max(plot.bbox.height / devicePixelRatio, 1)
  const kept: number[] = []
  for (const value of wanted) {
    if (kept.every((other) => Math.abs(other - value) >= numberSpace * perPixel)) kept.push(value)
  }
  return kept.sort((a, b) => a - b)
}

/** The lowest and the highest whole number within, of the reader's units. */
function roundMarks({ quantity }: NightCurve, min: number, max: number): number[] {
  if (quantity !== 'temperature' || reader().units === 'celsius') return [Math.ceil(min), Math.floor(max)]
  return [Math.ceil(fahrenheit(min)), Math.floor(fahrenheit(max))].map(celsiusOf)
}
