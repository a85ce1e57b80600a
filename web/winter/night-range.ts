import type { NightSummary } from '../../schemas/api.ts'

/** Numbers on the axis never stand closer than this, in CSS px. */
const numberSpace = 14

/** The value axis of the spread above the hours; null where nothing was heard. */
export function nightRange(range: readonly [low: number, high: number] | null, top: number, height: number) {
  if (range === null) return null
  const [low, high] = range
  const y = (value: number): number => round(top + ((high - value) / (high - low)) * height)
  return {
    bounds: range,
    y,
    /** The limits of a night, as far as they have room; without any the ends. */
    marks(night: NightSummary | undefined): number[] {
      const limits = [night?.low ?? null, night?.high ?? null].filter((value) => value !== null)
      const wanted = limits.length === 0 ? [low, high] : limits
      return wanted.filter((value, i) =>
        wanted.slice(0, i).every((other) => Math.abs(y(other) - y(value)) >= numberSpace),
      )
    },
  }
}

const round = (value: number): number => Math.round(value * 10) / 10
