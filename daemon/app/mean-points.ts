import { days, later } from '../../schemas/amounts.ts'
import type { SensorId } from '../../schemas/ids.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import type { Point } from '../../shared/thermal/lag.ts'
import type { History } from './calibrated-history.ts'
import type { Pause } from './place-cost.ts'

/**
 * Believed temperatures as means of `every`, each at the beginning of its step, read a day at a time, so that a sensor
 * that speaks each second needs no more memory.
 */
export async function meanPoints(
  past: Pick<History, 'readings'>,
  sensor: SensorId,
  { from, to, every }: { readonly from: Instant; readonly to: Instant; readonly every: Millis },
  pause: Pause,
): Promise<readonly Point[]> {
  const points: Point[] = []
  let [step, sum, count] = [-1, 0, 0]
  const put = (): void => {
    if (count > 0) points.push({ at: (step * every) as Instant, celsius: sum / count })
  }
  for (let day = from; day < to; day = later(day, days(1))) {
    if (day > from) await pause()
    for (const reading of past.readings(sensor, 'temperature', day, Math.min(to, day + days(1)) as Instant)) {
      if (reading.quality !== 'good') continue
      const its = Math.floor(reading.at / every)
      if (its !== step) {
        put()
        ;[step, sum, count] = [its, 0, 0]
      }
      sum += reading.value
      count += 1
    }
  }
  put()
  return points
}
