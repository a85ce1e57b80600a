import type { NightSummary } from '../../schemas/api.ts'

/** Width of the drawing in its own units; stretched to the cell. */
const width = 1000

/** Lowest to highest as a bar, the mean as a mark, the band behind it. */
export function NightBar({
  night,
  range,
}: {
  night: NightSummary
  range: readonly [low: number, high: number]
}) {
  const [low, high] = range
  const x = (value: number): number => Math.round(((value - low) / (high - low)) * width)
  if (night.min === null || night.mean === null || night.max === null) return null
  const bandFrom = night.low === null ? 0 : x(night.low)
  const bandTo = night.high === null ? width : x(night.high)
  const isOutside = night.below + night.above > 0
  return (
    <svg
      class="night-bar"
      viewBox={`0 0 ${width} 24`}
      preserveAspectRatio="none"
      aria-hidden="true"
      focusable="false"
    >
      {(night.low !== null || night.high !== null) && (
        <rect class="night-bar-band" x={bandFrom} y="0" width={Math.max(bandTo - bandFrom, 0)} height="24" />
      )}
      <rect
        class={isOutside ? 'night-bar-spread is-outside' : 'night-bar-spread'}
        x={x(night.min)}
        y="8"
        width={Math.max(x(night.max) - x(night.min), 4)}
        height="8"
      />
      <path class="night-bar-mean" d={`M${x(night.mean)} 3v18`} />
    </svg>
  )
}
