import { dwellCold, dwellHeat } from './definitions.ts'

/** The band that harm and the baselines go by, °C. */
export interface Critical {
  readonly low: number
  readonly high: number
}

export interface Baseline {
  /** Whether this reading raises an alarm. */
  reading(value: number, at: number): boolean
  /** Whether the value that still holds has run out its dwell by `at`. */
  timePassed(at: number): boolean
}

/** Each passing of a critical limit from inside is an alarm. */
export function bareThreshold({ low, high }: Critical): Baseline {
  let wasOut = false
  return {
    reading(value) {
      if (isFaultCode(value)) return false
      const isOut = value <= low || value >= high
      const isNew = isOut && !wasOut
      wasOut = isOut
      return isNew
    },
    timePassed: () => false,
  }
}

/** The same limits with the dwell times of WHO/PQS/E006 30-day recorders; the last value holds between readings. */
export function thresholdWithDwell({ low, high }: Critical): Baseline {
  let side: 'low' | 'high' | null = null
  let since = 0
  let isRaised = false
  const isDue = (at: number): boolean => {
    if (side === null || isRaised || at - since < (side === 'low' ? dwellCold : dwellHeat)) return false
    isRaised = true
    return true
  }
  return {
    reading(value, at) {
      if (isFaultCode(value)) return false
      const now = value <= low ? 'low' : value >= high ? 'high' : null
      if (now !== side) {
        side = now
        since = at
        isRaised = false
      }
      return isDue(at)
    },
    timePassed: isDue,
  }
}

/** What a DS18B20 shows without a conversion, without a bus, and with one stuck low. */
const isFaultCode = (value: number): boolean => value === 85 || value === -127 || value === 0
