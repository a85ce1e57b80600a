import type { CalibratedQuantity } from '../../schemas/calibration.ts'
import type { IceReading } from '../../shared/sensing/ice-point-readings.ts'
import { usePage } from '../page/use-page.ts'
import { say } from '../../shared/words/say.ts'

/** In its own units; the browser stretches it. */
const size = { wide: 600, high: 120, edge: 6 } as const
/** The newest; an hour of one a minute. */
const most = 60
/** The least height of the picture, in the quantity's unit: noise must not look like a storm. */
const leastSpan = { temperature: 0.5, humidity: 4 } as const

/** The readings since the probe went in as a small line, and on demand as a list. */
export function Trace({
  readings,
  quantity,
  zone,
}: {
  readings: readonly IceReading[]
  quantity: CalibratedQuantity
  zone: string
}) {
  const { tell } = usePage()
  const drawn = readings.slice(-most)
  const newest = drawn.at(-1)
  if (newest === undefined) return null
  const raws = drawn.map(({ raw }) => raw)
  const middle = (Math.max(...raws) + Math.min(...raws)) / 2
  const span = Math.max(Math.max(...raws) - Math.min(...raws), leastSpan[quantity])
  const first = drawn[0]?.at ?? newest.at
  const x = (at: number): number =>
    size.edge + ((size.wide - 2 * size.edge) * (at - first)) / Math.max(1, newest.at - first)
  const y = (raw: number): number => size.high / 2 - ((size.high - 2 * size.edge) * (raw - middle)) / span
  return (
    <figure class="trace">
      <svg
        viewBox={`0 0 ${size.wide} ${size.high}`}
        preserveAspectRatio="none"
        role="img"
        aria-label={say('{drawn} readings, from {shown} to {shown2}', {
          drawn: drawn.length,
          shown: tell.shown(drawn[0]?.raw ?? 0, quantity),
          shown2: tell.shown(newest.raw, quantity),
        })}
      >
        <polyline points={drawn.map(({ at, raw }) => `${x(at).toFixed(1)},${y(raw).toFixed(1)}`).join(' ')} />
      </svg>
      <details>
        <summary>{say('The readings')}</summary>
        <table class="openings">
          <thead>
            <tr>
              <th scope="col">{say('Read at')}</th>
              <th scope="col">{say('It showed')}</th>
            </tr>
          </thead>
          <tbody>
            {drawn.toReversed().map(({ at, raw }) => (
              <tr key={at}>
                <th scope="row">{tell.clock(at, zone)}</th>
                <td>{tell.shown(raw, quantity)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </figure>
  )
}
