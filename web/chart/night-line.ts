import uPlot from 'uplot'

/** Rows on each CSS px from which a line is no longer followed from row to row. A design choice: nothing is lost to the eye. */
const rowsPerPixel = 4

/** An unbroken piece of a line, told by what it covers: at each instant from its lowest to its highest value. */
export interface Covered {
  readonly at: number[]
  readonly low: number[]
  readonly high: number[]
}

/**
 * What a line of rows `first` to `last` covers, in stretches of `width` on x that are counted from `origin`, so that a
 * line that is shifted keeps its shape. Each stretch begins with the last value before it: a jump is never thinner than a
 * stretch. `null` breaks the line, `undefined` is no row of it.
 */
export function coveredBy(
  xs: ArrayLike<number>,
  values: ArrayLike<number | null | undefined>,
  [first, last]: readonly [first: number, last: number],
  origin: number,
  width: number,
): Covered[] {
  const pieces: Covered[] = []
  let piece: Covered | null = null
  let open = Number.NaN // the stretch that is being gathered
  let low = 0
  let high = 0
  let before = 0
  const close = (): void => {
    if (Number.isNaN(open)) return
    if (piece === null) {
      piece = { at: [], low: [], high: [] }
      pieces.push(piece)
    }
    piece.at.push(origin + (open + 0.5) * width)
    piece.low.push(low)
    piece.high.push(high)
  }
  for (let row = first; row <= last; row += 1) {
    const value = values[row]
    if (value === undefined) continue
    if (value === null) {
      close()
      open = Number.NaN
      piece = null
      continue
    }
    const stretch = Math.floor(((xs[row] as number) - origin) / width)
    if (stretch !== open) {
      const isJoined = !Number.isNaN(open)
      close()
      open = stretch
      low = high = isJoined ? before : value
    }
    if (value < low) low = value
    if (value > high) high = value
    before = value
  }
  close()
  return pieces
}

/**
 * One line of a chart, `width` CSS px thick. With many more rows than pixels it is drawn from what they cover on each pixel:
 * the same picture as a stroke from row to row, of a tenth of the points.
 */
export const nightLine = (stroke: () => string, width: number, dash: readonly number[]): uPlot.Series => ({
  stroke,
  width,
  paths: (plot, series, first, last) => {
    const drawn = plot.series[series]
    // uPlot takes dashes as dots of the screen, and a window can move to another screen
    if (drawn !== undefined) drawn.dash = dash.map((length) => length * devicePixelRatio)
    const pixels = plot.bbox.width / devicePixelRatio
    if (last - first < rowsPerPixel * pixels) return everyRow(plot, series, first, last)
    const pieces = piecesOf(plot, series, [first, last])
    const none = { clip: null, gaps: [], flags: 0 }
    if (dash.length > 0) return { stroke: upAndDown(pieces), ...none }
    return { stroke: null, fill: filled(pieces, width * devicePixelRatio), _fill: stroke(), ...none }
  },
  points: { show: false },
  spanGaps: false,
})

const everyRow: uPlot.Series.PathBuilder = uPlot.paths.linear?.() ?? (() => null)

/** What a line covers, in dots of the canvas: `top` is above `bottom`. */
interface Piece {
  readonly x: readonly number[]
  readonly top: readonly number[]
  readonly bottom: readonly number[]
}

function piecesOf(plot: uPlot, series: number, visible: readonly [first: number, last: number]): Piece[] {
  const { min = 0, max = 0 } = plot.scales['x'] ?? {}
  const [xs, values] = [plot.data[0], plot.data[series] ?? []]
  const origin = xs[0] ?? 0
  const perPixel = ((max - min) * devicePixelRatio) / plot.bbox.width
  const rows = wholeStretches(xs, visible, origin, perPixel)
  const y = (value: number): number => plot.valToPos(value, 'y', true)
  return coveredBy(xs, values, rows, origin, perPixel).map(({ at, low, high }) => ({
    x: at.map((instant) => plot.valToPos(instant, 'x', true)),
    top: high.map(y),
    bottom: low.map(y),
  }))
}

/** The same rows and those that share a stretch with the outermost: what is cut by the frame has its whole height too. */
function wholeStretches(
  xs: ArrayLike<number>,
  [first, last]: readonly [first: number, last: number],
  origin: number,
  width: number,
): readonly [first: number, last: number] {
  const of = (row: number): number => Math.floor(((xs[row] as number) - origin) / width)
  let [from, to] = [first, last]
  while (from > 0 && of(from - 1) === of(first)) from -= 1
  while (to + 1 < xs.length && of(to + 1) === of(last)) to += 1
  return [from, to]
}

/**
 * The shapes of what is covered, half a line's `thickness` up and down further out. That alone is thin where the line is
 * steep, for a stretch is one CSS px wide: there the same shapes stand out on both sides by what is missing.
 */
function filled(pieces: readonly Piece[], thickness: number): Path2D {
  const path = new Path2D()
  const aside = Math.max(thickness - devicePixelRatio, 0) / 2
  for (const piece of pieces) {
    outline(path, piece, 0, thickness / 2)
    outline(path, piece, -aside, 0)
    outline(path, piece, aside, 0)
  }
  return path
}

/** There along the upper edges and back along the lower, `aside` of where it is and `spare` further out. */
function outline(path: Path2D, { x, top, bottom }: Piece, aside: number, spare: number): void {
  const end = x.length - 1
  path.moveTo((x[0] as number) - spare, (top[0] as number) - spare)
  for (let i = 0; i <= end; i += 1) path.lineTo((x[i] as number) + aside, (top[i] as number) - spare)
  path.lineTo((x[end] as number) + spare, (top[end] as number) - spare)
  path.lineTo((x[end] as number) + spare, (bottom[end] as number) + spare)
  for (let i = end; i >= 0; i -= 1) path.lineTo((x[i] as number) + aside, (bottom[i] as number) + spare)
  path.lineTo((x[0] as number) - spare, (bottom[0] as number) + spare)
  path.closePath()
}

/** One line through all that is covered, which dashes can follow: on each pixel first what is nearer. */
function upAndDown(pieces: readonly Piece[]): Path2D {
  const path = new Path2D()
  for (const { x, top, bottom } of pieces) {
    let before = Number.NaN
    x.forEach((left, i) => {
      const [above, below] = [top[i] as number, bottom[i] as number]
      const isDown = Math.abs(above - before) <= Math.abs(below - before)
      const [near, far] = isDown ? [above, below] : [below, above]
      if (Number.isNaN(before)) path.moveTo(left, near)
      else path.lineTo(left, near)
      if (far !== near || Number.isNaN(before)) path.lineTo(left, far)
      before = far
    })
  }
  return path
}
