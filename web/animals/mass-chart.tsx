import { useId } from 'preact/hooks'
import type { MassNow } from '../../schemas/condition.ts'
import type { LastMass } from '../diary/weigh-order.ts'
import { usePage } from '../page/use-page.ts'
import { massPlot, ticks } from './mass-plot.ts'
import { useWidth } from './use-width.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

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
  const dayOf = (at: number): string => tell.short(at, zone)
  const first = masses[0]
  const last = masses[masses.length - 1]
  const label =
    first === undefined || last === undefined
      ? say('Mass')
      : say('Mass: {masses} weigh-ins from {mass} on {day} to {mass2} on {day2}.', {
          masses: masses.length,
          mass: tell.mass(first.grams),
          day: dayOf(first.at),
          mass2: tell.mass(last.grams),
          day2: dayOf(last.at),
        })
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
              {sayWith('{stroke} {percent} lost in 30 days', {
                stroke: <Stroke kind="mass-monthly" />,
                percent: tell.percent(plot.monthly.percent),
              })}
            </li>
          )}
          {plot.total !== null && (
            <li>
              {sayWith('{stroke} {percent} lost in all: {mass}', {
                stroke: <Stroke kind="mass-total" />,
                percent: tell.percent(plot.total.percent),
                mass: tell.mass(Math.round(plot.total.grams)),
              })}
            </li>
          )}
          {plot.ahead.length > 0 && mass.meetsTotal !== null && (
            <li>
              {sayWith('{stroke} if it goes on so: met about {day}, at the soonest {day2}{part}', {
                stroke: <Stroke kind="mass-ahead" />,
                day: dayOf(mass.meetsTotal.likely),
                day2: dayOf(mass.meetsTotal.soonest),
                part:
                  mass.meetsTotal.latest === null
                    ? say(', perhaps never')
                    : say(', at the latest {day}', { day: dayOf(mass.meetsTotal.latest) }),
              })}
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
