import { useId } from 'preact/hooks'
import type { MassNow } from '../../schemas/condition.ts'
import { instant } from '../../schemas/amounts.ts'
import { localDate } from '../../shared/time/wall.ts'
import type { LastMass } from '../diary/weigh-order.ts'
import { usePage } from '../page/use-page.ts'
import { massPlot, ticks } from './mass-plot.ts'
import { useWidth } from './use-width.ts'

const height = 200
/** Room for the scale on the left and the days below, pixels. */
const left = 52
const right = 8
const top = 10
const bottom = 24

/** Weigh-ins as points, what may be lost as lines, and what the trend leaves open. The table says the same. */
export function MassChart({ masses, mass }: { masses: readonly LastMass[]; mass: MassNow | null }) {
  const { tell, household } = usePage()
  const { ref, width } = useWidth()
  const clip = useId()
  const zone = household.value?.timeZone ?? 'UTC'
  const plot = massPlot(masses, mass)
  const x = (at: number): number =>
    Math.round((left + ((at - plot.from) / (plot.to - plot.from)) * (width - left - right)) * 10) / 10
  const y = (grams: number): number =>
    Math.round((top + ((plot.most - grams) / (plot.most - plot.least)) * (height - top - bottom)) * 10) / 10
  const point = ({ at, grams }: LastMass): string => `${x(at)},${y(grams)}`
  const dayOf = (at: number): string => tell.date(localDate(instant(at), zone)).replace(/^\w+ /, '')
  const first = masses[0]
  const last = masses[masses.length - 1]
  const label =
    first === undefined || last === undefined
      ? 'Mass'
      : `Mass: ${masses.length} weigh-ins from ${tell.mass(first.grams)} on ${dayOf(first.at)} to ${tell.mass(last.grams)} on ${dayOf(last.at)}.`
  const days = width < 420 ? [plot.from, plot.to] : [plot.from, (plot.from + plot.to) / 2, plot.to]

  return (
    <div class="mass-chart" ref={ref}>
      {width > 0 && (
        <svg width={width} height={height} role="img" aria-label={label}>
          <defs>
            <clipPath id={clip}>
              <rect x={left} y={top} width={width - left - right} height={height - top - bottom} />
            </clipPath>
          </defs>
          {ticks(plot.least, plot.most, 3).map((grams) => (
            <g key={grams}>
              <path class="mass-grid" d={`M${left} ${y(grams)}H${width - right}`} />
              <text class="mass-tick" x={left - 6} y={y(grams) + 4} text-anchor="end">
                {tell.mass(grams)}
              </text>
            </g>
          ))}
          {days.map((at, i) => (
            <text
              key={at}
              class="mass-tick"
              x={x(at)}
              y={height - 6}
              text-anchor={i === 0 ? 'start' : i === days.length - 1 ? 'end' : 'middle'}
            >
              {dayOf(at)}
            </text>
          ))}
          <g clip-path={`url(#${clip})`}>
            {plot.ahead.length > 0 && <polygon class="mass-ahead" points={plot.ahead.map(point).join(' ')} />}
            {plot.monthly !== null && (
              <path class="mass-monthly" d={`M${point(plot.monthly.from)}L${point(plot.monthly.to)}`} />
            )}
            {plot.total !== null && (
              <path class="mass-total" d={`M${left} ${y(plot.total.grams)}H${width - right}`} />
            )}
            {plot.total !== null && plot.likely !== null && (
              <path class="mass-likely" d={`M${x(plot.likely)} ${y(plot.total.grams) - 6}v12`} />
            )}
          </g>
          <polyline class="mass-line" points={masses.map(point).join(' ')} />
          {masses.map((one) => (
            <circle key={one.at} class="mass-point" cx={x(one.at)} cy={y(one.grams)} r="3.5" />
          ))}
        </svg>
      )}
      {mass !== null && (plot.total !== null || plot.monthly !== null) && (
        <ul class="mass-key">
          {plot.monthly !== null && (
            <li>
              <Stroke kind="mass-monthly" /> {tell.percent(plot.monthly.percent)} lost in 30 days
            </li>
          )}
          {plot.total !== null && (
            <li>
              <Stroke kind="mass-total" /> {tell.percent(plot.total.percent)} lost in all:{' '}
              {tell.mass(Math.round(plot.total.grams))}
            </li>
          )}
          {plot.ahead.length > 0 && mass.meetsTotal !== null && (
            <li>
              <Stroke kind="mass-ahead" /> if it goes on so: met about {dayOf(mass.meetsTotal.likely)}, at the
              soonest {dayOf(mass.meetsTotal.soonest)}
              {mass.meetsTotal.latest === null
                ? ', perhaps never'
                : `, at the latest ${dayOf(mass.meetsTotal.latest)}`}
            </li>
          )}
        </ul>
      )}
    </div>
  )
}

const Stroke = ({ kind }: { kind: 'mass-monthly' | 'mass-total' | 'mass-ahead' }) => (
  <svg width="22" height="10" aria-hidden="true" focusable="false">
    {kind === 'mass-ahead' ? (
      <rect class={kind} x="0" y="1" width="22" height="8" />
    ) : (
      <path class={kind} d="M0 5H22" />
    )}
  </svg>
)
