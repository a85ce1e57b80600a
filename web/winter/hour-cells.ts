/** From the faintest to the strongest tone of an hour; the highest hour of what is drawn is the faintest. */
export const tones = 5

/** Paths of one night's hours, each of many rectangles, so that a winter of them stays a handful of elements. */
export interface HourPaths {
  readonly tones: readonly string[]
  /** Below or above the band for some of the hour, or beyond the critical limit. */
  readonly out: string
  /** Nothing was heard. */
  readonly blank: string
}

export interface Cell {
  readonly x: number
  readonly y: number
  readonly width: number
  readonly height: number
}

/** How much of an hour's mark is inked, from the side on which it was outside: half, or nearly all. */
const inked = { l: 0.5, h: 0.5, L: 0.85, H: 0.85 } as const

/** `cellOf` gives each hour its place. What lies below the band is inked from the foot, above it from the top. */
export function hourPaths(
  {
    hours,
    low,
    high,
  }: {
    readonly hours: string
    readonly low: readonly (number | null)[]
    readonly high: readonly (number | null)[]
  },
  range: readonly [low: number, high: number],
  cellOf: (hour: number) => Cell,
): HourPaths {
  const toned: string[][] = Array.from({ length: tones }, () => [])
  const out: string[] = []
  const blank: string[] = []
  ;[...hours].forEach((letter, i) => {
    const cell = cellOf(i)
    if (letter === '.') {
      blank.push(`M${cell.x + cell.width / 2} ${cell.y + 1}v${cell.height - 2}`)
      return
    }
    const middle = ((low[i] ?? 0) + (high[i] ?? 0)) / 2
    const share = (range[1] - middle) / Math.max(range[1] - range[0], 0.1)
    toned[Math.min(tones - 1, Math.max(0, Math.floor(share * tones)))]?.push(rectangle(cell))
    if (letter !== 'l' && letter !== 'h' && letter !== 'L' && letter !== 'H') return
    const height = cell.height * inked[letter]
    const isLow = letter === 'l' || letter === 'L'
    out.push(rectangle({ ...cell, height, y: isLow ? cell.y + cell.height - height : cell.y }))
  })
  return { tones: toned.map((some) => some.join('')), out: out.join(''), blank: blank.join('') }
}

const rectangle = ({ x, y, width, height }: Cell): string => `M${x} ${y}h${width}v${height}h${-width}z`
