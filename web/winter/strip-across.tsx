import { useId, useMemo } from 'preact/hooks'
import type { Priority } from '../../schemas/band.ts'
import { MoonShape } from '../moon/moon.tsx'
import { usePage } from '../page/use-page.ts'
import { hourPaths } from './hour-cells.ts'
import { nightRange } from './night-range.ts'
import type { NightList } from './night-list.ts'
import type { StripFrame } from './strip-frame.ts'
import { nightOn, type StripNight } from './strip.ts'
import { nightLine } from './winter-words.ts'

/** In CSS px: room for the numbers at the left, the months at the top, each night's spread, an hour, a row of marks. */
const size = { axis: 44, months: 20, spread: 104, gap: 10, hour: 13, door: 14, moon: 16, number: 18 } as const
/** A night is never narrower than this, and in autumn not wider, in CSS px. */
export const pitchBounds = { least: 3, most: 40 } as const
/** From this width on each night's lowest value stands under it, in CSS px. */
const numberedFrom = 30
/** A month's name needs this, in CSS px. */
const monthRoom = 30

/** Nights across, hours down: above each night its spread in the band, below it doors and alarms. */
export function StripAcross({
  list,
  frame,
  width,
  zone,
}: {
  list: NightList
  frame: StripFrame
  width: number
  zone: string
}) {
  const { tell } = usePage()
  const id = useId()
  const { nights, quantity } = list
  const days = frame.lastDay - frame.firstDay + 1
  const room = width - size.axis
  const pitch = Math.min(pitchBounds.most, Math.max(pitchBounds.least, room / days))
  const left = (day: number): number => size.axis + (day - frame.firstDay) * pitch
  const right = left(frame.lastDay) + pitch
  const isNumbered = pitch >= numberedFrom
  const marked = (['high', 'medium', 'low'] as const).filter((one) =>
    nights.some(({ priorities }) => priorities.includes(one)),
  )
  const hasDoors = nights.some(({ opened }) => opened > 0)

  const top = size.months
  const numbers = top + size.spread
  const hours = numbers + (isNumbered ? size.number : 0) + size.gap
  const doors = hours + frame.hours * size.hour + 4
  const lanes = doors + (hasDoors ? size.door : 0)
  const height = lanes + marked.length * size.moon + 2
  const active = nightOn(nights, list.active)
  const first = nights[0]
  const range = nightRange(frame.range, top, size.spread)

  // A winter of columns: drawn anew only when they change, not with every step of the hand
  const drawn = useMemo(
    () =>
      nights.map((one) => (
        <g
          key={one.date}
          id={`${id}-${one.date}`}
          role="option"
          aria-selected={one.day === list.chosen}
          aria-label={nightLine(one, quantity, tell)}
        >
          <Night
            one={one}
            x={left(one.day)}
            pitch={pitch}
            tops={{ numbers, hours, doors, lanes }}
            range={range}
            frame={frame}
            marked={marked}
            isCalling={list.calling.has(one.date)}
            number={isNumbered && one.night.min !== null ? tell.figure(one.night.min, quantity) : null}
          />
        </g>
      )),
    [nights, frame, pitch, quantity, list.chosen, list.calling, tell],
  )

  const dayAt = (event: MouseEvent): number => {
    const box = (event.currentTarget as Element).getBoundingClientRect()
    const x = ((event.clientX - box.left) / box.width) * Math.max(right, 1)
    return Math.min(
      frame.lastDay,
      Math.max(frame.firstDay, frame.firstDay + Math.floor((x - size.axis) / pitch)),
    )
  }

  return (
    <div
      class="night-strip strip-across"
      role="listbox"
      tabIndex={0}
      aria-label={list.label}
      aria-orientation="horizontal"
      aria-activedescendant={active === null ? undefined : `${id}-${active.date}`}
      ref={list.ref}
      onKeyDown={list.onKeyDown}
      onPointerMove={(event) => event.pointerType !== 'touch' && list.onPoint(dayAt(event))}
      onClick={(event) => list.onOpen(nightOn(nights, dayAt(event)))}
      style={{ width: `${right}px` }}
    >
      <svg viewBox={`0 0 ${right} ${height}`} width={right} height={height} role="presentation">
        <g class="strip-frame" aria-hidden="true">
          {monthsOf(nights).map(({ date, day, days: inMonth }) => (
            <g key={date}>
              <path class="strip-rule" d={`M${left(day)} 4v${height - 4}`} />
              {inMonth * pitch >= monthRoom && (
                <text class="strip-month" x={left(day) + 4} y="13">
                  {tell.month(date).slice(0, 3)}
                </text>
              )}
            </g>
          ))}
          {range !== null && <path class="strip-band" d={bandPath(nights, left, pitch, range)} />}
          {range !== null &&
            range.marks(nights.at(-1)?.night).map((value) => (
              <text key={value} class="strip-number" x={size.axis - 6} y={range.y(value) + 4}>
                {tell.figure(value, quantity)}
              </text>
            ))}
          {first !== undefined &&
            Array.from({ length: frame.hours }, (_, i) => i)
              .filter((i) => i % 4 === 0)
              .map((i) => (
                <text key={i} class="strip-number" x={size.axis - 6} y={hours + i * size.hour + 11}>
                  {tell.hour(first.night.from + i * 3_600_000, zone)}
                </text>
              ))}
        </g>
        {[list.active, list.chosen].map(
          (day, i) =>
            day !== null &&
            nightOn(nights, day) !== null && (
              <rect
                key={i}
                class={i === 0 ? 'strip-night is-active' : 'strip-night is-chosen'}
                x={left(day) - 0.5}
                y={size.months}
                width={pitch}
                height={height - size.months}
              />
            ),
        )}
        {drawn}
      </svg>
    </div>
  )
}

function Night({
  one,
  x,
  pitch,
  tops,
  range,
  frame,
  marked,
  isCalling,
  number,
}: {
  one: StripNight
  x: number
  pitch: number
  tops: Readonly<Record<'numbers' | 'hours' | 'doors' | 'lanes', number>>
  range: ReturnType<typeof nightRange>
  frame: StripFrame
  marked: readonly Priority[]
  isCalling: boolean
  number: string | null
}) {
  const { min, max, below, above } = one.night
  const middle = x + pitch / 2
  const bar = Math.max(1.5, Math.min(9, pitch * 0.4))
  const between = pitch > 5 ? 1 : 0
  const cells = hourPaths(one, frame.toned, (i) => ({
    x,
    y: tops.hours + i * size.hour,
    width: pitch - between,
    height: size.hour - 1,
  }))
  const moon = Math.min(13, Math.max(9, pitch))
  return (
    <>
      {range !== null && min !== null && max !== null && (
        <rect
          class={below + above > 0 ? 'strip-spread is-outside' : 'strip-spread'}
          x={middle - bar / 2}
          y={range.y(max)}
          width={bar}
          height={Math.max(2, range.y(min) - range.y(max))}
        />
      )}
      {number !== null && (
        <text class="strip-lowest" x={middle} y={tops.numbers + 14}>
          {number}
        </text>
      )}
      {cells.tones.map((d, i) => d !== '' && <path key={i} class={`strip-tone tone-${i}`} d={d} />)}
      <path class="strip-out" d={cells.out} />
      <path class="strip-blank" d={cells.blank} />
      {one.opened > 0 && <path class="strip-door" d={`M${middle - 1.5} ${tops.doors + 2}h3v9h-3z`} />}
      {marked.map(
        (priority, lane) =>
          one.priorities.includes(priority) && (
            <svg
              key={priority}
              class={isCalling ? `moon-${priority} sign-${priority}` : `moon-${priority}`}
              x={middle - moon / 2}
              y={tops.lanes + lane * size.moon + (size.moon - moon) / 2}
              width={moon}
              height={moon}
              viewBox="0 0 20 20"
            >
              <MoonShape priority={priority} />
            </svg>
          ),
      )}
    </>
  )
}

/** The band night by night, as one shape: its limits move with the winter. */
function bandPath(
  nights: readonly StripNight[],
  left: (day: number) => number,
  pitch: number,
  { y, bounds }: NonNullable<ReturnType<typeof nightRange>>,
): string {
  return nights
    .filter(({ night }) => night.low !== null || night.high !== null)
    .map(({ day, night }) => {
      const [foot, head] = [y(night.low ?? bounds[0]), y(night.high ?? bounds[1])]
      return `M${left(day)} ${head}h${pitch}V${foot}h${-pitch}z`
    })
    .join('')
}

/** Where each month begins among these nights, and how many days of it there are. */
function monthsOf(nights: readonly StripNight[]): { date: string; day: number; days: number }[] {
  const found: { date: string; day: number; days: number }[] = []
  for (const { date, day } of nights) {
    const month = `${date.slice(0, 7)}-01`
    const last = found.at(-1)
    if (last?.date === month) last.days = day - last.day + 1
    else found.push({ date: month, day, days: 1 })
  }
  return found
}
