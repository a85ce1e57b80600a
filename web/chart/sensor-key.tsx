import type { NightCurve } from '../../schemas/api.ts'
import { spotName } from '../words/names.ts'
import { dashes } from './night-plot.ts'

/** Which line is which sensor, and what the marks mean; one sensor alone needs no key, its name is beside the value. */
export function SensorKey({ curve, hasDoors }: { curve: NightCurve; hasDoors: boolean }) {
  const lines = curve.series.length < 2 ? [] : curve.series
  if (lines.length === 0 && !hasDoors) return null
  return (
    <ul class="key">
      {lines.map((one, i) => (
        <li key={one.sensor}>
          <svg class="key-line" viewBox="0 0 28 8" aria-hidden="true" focusable="false">
            <path d="M0 4h28" stroke-dasharray={(dashes[i % dashes.length] ?? []).join(' ')} />
          </svg>
          {one.sensorName}
          {one.spot in spotName && `, ${spotName[one.spot as keyof typeof spotName]}`}
        </li>
      ))}
      {hasDoors && (
        <li>
          <svg class="key-door" viewBox="0 0 3 9" aria-hidden="true" focusable="false">
            <path d="M0 0h3v9H0z" />
          </svg>
          door opened
        </li>
      )}
    </ul>
  )
}
