import type uPlot from 'uplot'
import type { NightCurve } from '../../schemas/api.ts'
import type { Opening } from '../words/thermal-words.ts'
import type { Marks } from './marks.ts'
import type { Paint } from './paint.ts'

/** A door open for a minute of a night is narrower than a pixel: it is still seen. In CSS px. */
const leastDoorWidth = 3
const doorHeight = 9

type Frame = {
  readonly context: CanvasRenderingContext2D
  readonly x: (at: number) => number
  readonly y: (value: number) => number
  readonly box: uPlot.BBox
  /** Device pixels per CSS pixel. */
  readonly dot: number
}

/** Under the line: the band with its guarded edge, the nights before and the spread of columns. */
export function drawUnder(plot: uPlot, curve: NightCurve, guards: Marks['guards'], paint: Paint): void {
  inFrame(plot, (frame) => {
    drawBand(frame, curve, paint)
    for (const guard of guards) drawGuarded(frame, curve, guard, paint)
    for (const night of curve.before) {
      const points = night.since.map((since, i) => [curve.night.from + since, night.mean[i] ?? null] as const)
      strokeLine(frame, points, paint.faint, 1)
    }
    for (const one of curve.series) if (one.resolution === 'columns') drawSpread(frame, one.columns, paint)
    drawLimits(frame, curve, paint)
  })
}

/**
 * Over the line: openings of the door as bars along the bottom; what was not believed, as small crosses; out of the frame
 * they stand at its edge.
 */
export function drawOver(plot: uPlot, curve: NightCurve, doors: readonly Opening[], paint: Paint): void {
  inFrame(plot, ({ context, x, y, box, dot }) => {
    context.fillStyle = paint.ink
    for (const { at, until = at } of doors) {
      const width = Math.max(leastDoorWidth * dot, x(until) - x(at))
      context.fillRect(x(at), box.top + box.height - doorHeight * dot, width, doorHeight * dot)
    }
    const arm = 3 * dot
    context.strokeStyle = paint.ink
    context.lineWidth = 1.25 * dot
    context.beginPath()
    for (const bad of curve.series.flatMap((one) => one.bad)) {
      const left = x(bad.at)
      const top = Math.min(Math.max(y(bad.value), box.top + arm), box.top + box.height - arm)
      context.moveTo(left - arm, top - arm)
      context.lineTo(left + arm, top + arm)
      context.moveTo(left + arm, top - arm)
      context.lineTo(left - arm, top + arm)
    }
    context.stroke()
  })
}

function drawBand({ context, x, y, box }: Frame, curve: NightCurve, paint: Paint): void {
  context.fillStyle = paint.band
  eachStretch(curve, (row, from, to) => {
    const low = curve.band.low[row] ?? curve.band.lowCritical[row] ?? null
    const high = curve.band.high[row] ?? curve.band.highCritical[row] ?? null
    if (low === null && high === null) return
    const top = high === null ? box.top : y(high)
    const bottom = low === null ? box.top + box.height : y(low)
    context.fillRect(x(from), top, x(to) - x(from), bottom - top)
  })
}

/** Between two hatch lines, in CSS px. */
const hatch = 6

/** Hatched from a limit to where it rings already, as long as that limit was in force. */
function drawGuarded(
  { context, x, y, dot }: Frame,
  curve: NightCurve,
  { name, limit, guarded }: Marks['guards'][number],
  paint: Paint,
): void {
  context.strokeStyle = paint.rule
  context.lineWidth = dot
  const [top, bottom] = [Math.min(y(limit), y(guarded)), Math.max(y(limit), y(guarded))]
  const step = hatch * dot
  eachStretch(curve, (row, from, to) => {
    if (curve.band[name][row] !== limit) return
    const [left, right] = [x(from), x(to)]
    context.save()
    context.beginPath()
    context.rect(left, top, right - left, bottom - top)
    context.clip()
    context.beginPath()
    // On one raster over the whole curve, so that stretches join
    for (let at = Math.floor((left - (bottom - top)) / step) * step; at < right; at += step) {
      context.moveTo(at, bottom)
      context.lineTo(at + (bottom - top), top)
    }
    context.stroke()
    context.restore()
  })
}

/** Inner limits as hairlines, critical ones dashed. */
function drawLimits({ context, x, y, dot }: Frame, curve: NightCurve, paint: Paint): void {
  context.strokeStyle = paint.rule
  context.lineWidth = dot
  for (const name of ['lowCritical', 'low', 'high', 'highCritical'] as const) {
    context.setLineDash(name === 'low' || name === 'high' ? [] : [5 * dot, 4 * dot])
    context.beginPath()
    eachStretch(curve, (row, from, to) => {
      const value = curve.band[name][row] ?? null
      if (value === null) return
      const top = Math.round(y(value)) + dot / 2
      context.moveTo(x(from), top)
      context.lineTo(x(to), top)
    })
    context.stroke()
  }
  context.setLineDash([])
}

function drawSpread(
  { context, x, y }: Frame,
  columns: NightCurve['series'][number]['columns'],
  paint: Paint,
): void {
  context.fillStyle = paint.faint
  const { at, low, high } = columns
  for (let i = 0; i + 1 < at.length; i += 1) {
    const [bottom, top] = [low[i] ?? null, high[i] ?? null]
    if (bottom === null || top === null || bottom === top) continue
    const left = x(at[i] as number)
    context.fillRect(left, y(top), x(at[i + 1] as number) - left, y(bottom) - y(top))
  }
}

function strokeLine(
  { context, x, y, dot }: Frame,
  points: readonly (readonly [at: number, value: number | null])[],
  ink: string,
  width: number,
): void {
  context.strokeStyle = ink
  context.lineWidth = width * dot
  context.beginPath()
  let isDown = false
  for (const [at, value] of points) {
    if (value === null) isDown = false
    else if (isDown) context.lineTo(x(at), y(value))
    else {
      context.moveTo(x(at), y(value))
      isDown = true
    }
  }
  context.stroke()
}

function eachStretch(curve: NightCurve, visit: (row: number, from: number, to: number) => void): void {
  const { at } = curve.band
  at.forEach((start, row) => {
    const from = Math.max(start, curve.night.from)
    const to = Math.min(at[row + 1] ?? curve.night.to, curve.night.to)
    if (to > from) visit(row, from, to)
  })
}

function inFrame(plot: uPlot, draw: (frame: Frame) => void): void {
  const { ctx, bbox } = plot
  ctx.save()
  ctx.beginPath()
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height)
  ctx.clip()
  ctx.setLineDash([]) // uPlot leaves that of its last line
  draw({
    context: ctx,
    x: (at) => plot.valToPos(at / 1000, 'x', true),
    y: (value) => plot.valToPos(value, 'y', true),
    box: bbox,
    dot: devicePixelRatio,
  })
  ctx.restore()
}
