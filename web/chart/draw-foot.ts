import type uPlot from 'uplot'
import { areRunsReadable, faultHeight, type Foot, footOf, runHeight } from './foot.ts'
import type { Marks } from './marks.ts'
import type { Paint } from './paint.ts'

/** Under the plot's lower edge, above the hours: the compressor's runs, and the alarms that stood, until `now` where they still do. */
export function drawFoot(plot: uPlot, marks: Marks, now: number, paint: Paint): void {
  const foot = footOf(marks)
  if (foot.height === 0) return
  const { ctx, bbox } = plot
  const dot = devicePixelRatio
  const bottom = bbox.top + bbox.height
  ctx.save()
  ctx.beginPath()
  ctx.rect(bbox.left, bottom, bbox.width, foot.height * dot)
  ctx.clip()
  ctx.setLineDash([]) // uPlot leaves that of its last line
  const x = (at: number): number => plot.valToPos(at / 1000, 'x', true)
  drawRuns(ctx, marks, foot, bottom, x, dot, paint)
  for (const { fault, top } of foot.rows) {
    const left = fault.from === null ? bbox.left - dot : x(fault.from)
    const right = x(fault.to ?? now)
    const width = Math.max(right - left, leastWidth * dot)
    drawFault(ctx, fault.priority, [left, bottom + top * dot, width, faultHeight * dot], dot, paint)
  }
  ctx.restore()
}

/** An alarm of a minute is narrower than a pixel: it is still seen. In CSS px. */
const leastWidth = 4

function drawRuns(
  context: CanvasRenderingContext2D,
  { runs }: Marks,
  foot: Foot,
  bottom: number,
  x: (at: number) => number,
  dot: number,
  paint: Paint,
): void {
  if (foot.runs === null || !areRunsReadable(runs, (x(1000) - x(0)) / 1000 / dot)) return
  context.fillStyle = paint.rule
  for (const { from, to } of runs)
    context.fillRect(x(from), bottom + foot.runs * dot, x(to) - x(from), runHeight * dot)
}

type Box = readonly [left: number, top: number, width: number, height: number]

/** How urgent it was is told by the filling, and again by the colour: high full, medium half, low hollow. */
function drawFault(
  context: CanvasRenderingContext2D,
  priority: Marks['faults'][number]['priority'],
  [left, top, width, height]: Box,
  dot: number,
  paint: Paint,
): void {
  const ink = paint[priority]
  context.fillStyle = ink
  context.strokeStyle = ink
  context.lineWidth = dot
  if (priority === 'high') context.fillRect(left, top, width, height)
  else {
    context.strokeRect(left + dot / 2, top + dot / 2, width - dot, height - dot)
    if (priority === 'medium') context.fillRect(left, top + height / 2, width, height / 2)
  }
}
