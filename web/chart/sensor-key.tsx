import type { NightCurve } from '../../schemas/api.ts'
import { spotName } from '../words/names.ts'
import { dashes } from './night-plot.ts'

/** Which line is which sensor; one sensor alone needs no key, its name is beside the value. */
export function SensorKey({ curve }: { curve: NightCurve }) {
  if (curve.series.length < 2) return null
  return (
    <ul class="key">
      {curve.series.map((one, i) => (
        <li key={one.sensor}>
          <svg class="key-line" viewBox="0 0 28 8" aria-hidden="true" focusable="false">
            <path d="M0 4h28" stroke-dasharray={(dashes[i % dashes.length] ?? []).join(' ')} />
          </svg>
          {one.sensorName}
          {one.spot in spotName && `, ${spotName[one.spot as keyof typeof spotName]}`}
        </li>
      ))}
    </ul>
  )
}
