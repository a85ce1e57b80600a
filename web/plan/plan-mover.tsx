import { useSignal } from '@preact/signals'
import { useRef } from 'preact/hooks'
import { instant } from '../../schemas/amounts.ts'
import type { PlanStep, PlanWish } from '../../schemas/animal.ts'
import { addDays, daysBetween, localDate, wallInstant } from '../../shared/time/wall.ts'
import { usePage } from '../page/use-page.ts'
import { phaseName } from '../words/plan-words.ts'
import { type Handle, holdDates, movedWish, wishedDates } from './moved-wish.ts'
import { percent } from './percent.ts'
import { segmentsOf } from './segments.ts'
import type { TimeScale } from './time-scale.ts'
import { say } from '../../shared/words/say.ts'

/** The plan as a strip to be moved: the whole of it or either end of the hold, by a drag or by the arrow keys. */
export function PlanMover({
  name,
  steps,
  wish,
  scale,
  now,
  zone,
  onWish,
}: {
  name: string
  steps: readonly PlanStep[]
  /** What was asked for and is not reckoned yet; null where the steps are the answer. */
  wish: PlanWish | null
  scale: TimeScale
  now: number
  zone: string
  onWish: (wish: PlanWish) => void
}) {
  const { tell } = usePage()
  const lane = useRef<HTMLDivElement>(null)
  const drag = useSignal<{ readonly handle: Handle; readonly x: number; readonly days: number } | null>(null)
  const dates = wish === null ? holdDates(steps, zone) : wishedDates(wish, steps, zone)
  if (dates === null) return null
  const move = (handle: Handle, days: number): void => {
    const next = movedWish(dates, handle, days)
    if (next !== null && days !== 0) onWish(next)
  }
  const daysAt = (x: number): number => {
    const width = lane.current?.clientWidth ?? 0
    const from = drag.peek()?.x ?? x
    return width === 0 ? 0 : Math.round((x - from) / width / scale.dayShare)
  }
  const grip = (handle: Handle) => ({
    onPointerDown: (event: PointerEvent) => {
      if (event.button !== 0) return
      if (event.currentTarget instanceof Element) event.currentTarget.setPointerCapture(event.pointerId)
      drag.value = { handle, x: event.clientX, days: 0 }
    },
    onPointerMove: (event: PointerEvent) => {
      if (drag.value !== null) drag.value = { ...drag.value, days: daysAt(event.clientX) }
    },
    onPointerUp: (event: PointerEvent) => {
      const days = daysAt(event.clientX)
      const held = drag.value
      drag.value = null
      if (held !== null) move(held.handle, days)
    },
    onPointerCancel: () => (drag.value = null),
    onKeyDown: (event: KeyboardEvent) => {
      const days = daysOfKey[event.key]
      if (days === undefined) return
      event.preventDefault()
      move(handle, event.shiftKey ? days * 7 : days)
    },
  })
  const shift = drag.value === null ? 0 : drag.value.days * scale.dayShare
  const isMoved = (end: 'hold' | 'wake'): boolean =>
    drag.value !== null && (drag.value.handle === 'all' || drag.value.handle === end)
  const shownAt = (end: 'hold' | 'wake'): string =>
    isMoved(end) ? addDays(dates[end], drag.value?.days ?? 0) : dates[end]
  const slider = (handle: 'hold' | 'wake', label: string, at: number) => {
    return (
      <span
        role="slider"
        tabIndex={0}
        class={`plan-handle plan-handle-${handle}`}
        style={{ left: percent(scale.share(at) + (isMoved(handle) ? shift : 0)) }}
        aria-label={`${label}, ${name}`}
        aria-valuemin={0}
        aria-valuemax={daysBetween(scale.first, scale.last)}
        aria-valuenow={daysBetween(scale.first, shownAt(handle))}
        aria-valuetext={tell.date(shownAt(handle))}
        {...grip(handle)}
      />
    )
  }
  const noonOf = (date: string): number => wallInstant(date, '12:00', zone)
  const isAll = drag.value?.handle === 'all'
  return (
    <div class="mover">
      <p class="hint">
        {say('Drag the strip or its ends, or use the arrow keys: a day, with Shift a week. {part}', {
          part: localDate(instant(now), zone) > dates.hold ? say('The hold would begin in the past.') : '',
        })}
      </p>
      <div class="lane mover-lane" ref={lane}>
        {scale.months.map((month) => (
          <span key={month.date} class="lane-month" style={{ left: percent(month.share) }}>
            <span class="soft">{tell.month(month.date).slice(0, 3)}</span>
          </span>
        ))}
        <div
          class="strip strip-draft strip-moving"
          role="slider"
          tabIndex={0}
          aria-label={say('The whole winter, {name}', { name })}
          aria-valuemin={0}
          aria-valuemax={daysBetween(scale.first, scale.last)}
          aria-valuenow={daysBetween(scale.first, dates.hold)}
          aria-valuetext={say('hold from {date} to {date2}', {
            date: tell.date(dates.hold),
            date2: tell.date(dates.wake),
          })}
          {...grip('all')}
        >
          {segmentsOf(steps).map((one) => (
            <span
              key={one.phase}
              class={`phase phase-${one.phase}`}
              title={phaseName[one.phase]}
              style={{
                left: percent(scale.share(one.from) + (isAll ? shift : 0)),
                width: percent(
                  Math.min(1, scale.share(one.to ?? Infinity)) - Math.max(0, scale.share(one.from)),
                ),
              }}
            />
          ))}
        </div>
        {slider('hold', say('The hold begins'), noonOf(dates.hold))}
        {slider('wake', say('The waking begins'), noonOf(dates.wake))}
        <span class="lane-now" style={{ left: percent(scale.share(now)) }} />
      </div>
      <p class="mover-dates">
        {say('Hold from {date} to {date2}', {
          date: tell.date(shownAt('hold')),
          date2: tell.date(shownAt('wake')),
        })}
      </p>
    </div>
  )
}

const daysOfKey: Readonly<Record<string, number>> = {
  ArrowLeft: -1,
  ArrowDown: -1,
  ArrowRight: 1,
  ArrowUp: 1,
  PageDown: -7,
  PageUp: 7,
}
