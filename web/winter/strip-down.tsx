import { Fragment } from 'preact'
import { useEffect, useId, useMemo } from 'preact/hooks'
import { Moon } from '../moon/moon.tsx'
import { usePage } from '../page/use-page.ts'
import { hourPaths } from './hour-cells.ts'
import type { NightList } from './night-list.ts'
import { nightOn, type StripNight } from './strip.ts'
import type { StripFrame } from './strip-frame.ts'
import { nightLine, nightWords } from './winter-words.ts'
import { say } from '../../shared/words/say.ts'

/** Of an hour in a row, in the drawing's own units; stretched to the row. */
const cell = { width: 10, height: 20 } as const

/** The same on a phone: nights down, newest first, hours across; below each night the other season's, of the same date. */
export function StripDown({
  list,
  beside,
  besideName,
  frame,
  zone,
}: {
  list: NightList
  /** The season it is compared with; empty without one. */
  beside: readonly StripNight[]
  besideName: string | null
  frame: StripFrame
  zone: string
}) {
  const { tell } = usePage()
  const id = useId()
  const { nights, quantity } = list
  const active = nightOn(nights, list.active)
  const first = nights[0]
  const rowWords = (one: StripNight, other: StripNight | null, season: string | null): string =>
    other === null || season === null
      ? nightLine(one, quantity, tell)
      : say('{line}; in {season} {other}', {
          line: nightLine(one, quantity, tell),
          season,
          other: nightWords(other, quantity, tell).join(', '),
        })
  const rows = useMemo(
    () =>
      nights.toReversed().map((one, i, all) => (
        <Fragment key={one.date}>
          {all[i - 1]?.date.slice(0, 7) !== one.date.slice(0, 7) && (
            <p class="strip-row-month" role="presentation">
              {tell.month(one.date)}
            </p>
          )}
          <div
            id={`${id}-${one.date}`}
            class="strip-row"
            role="option"
            aria-selected={one.day === list.chosen}
            aria-label={rowWords(one, nightOn(beside, one.day), besideName)}
            onClick={() => list.onOpen(one)}
          >
            <span class="strip-row-date" aria-hidden="true">
              {tell.weekday(one.date)}
            </span>
            <span class="strip-row-hours" aria-hidden="true">
              <Hours one={one} frame={frame} />
              {beside.length > 0 && <Hours one={nightOn(beside, one.day)} frame={frame} />}
            </span>
            <span class="strip-row-lowest" aria-hidden="true">
              {one.night.min === null ? '–' : tell.figure(one.night.min, quantity)}
            </span>
            <span class="strip-row-marks" aria-hidden="true">
              <span class="strip-row-door">{one.opened > 0 && <DoorMark />}</span>
              {one.priorities.map((priority) => (
                <span key={priority} class={list.calling.has(one.date) ? `sign-${priority}` : undefined}>
                  <Moon priority={priority} />
                </span>
              ))}
            </span>
          </div>
        </Fragment>
      )),
    [nights, beside, frame, quantity, list.chosen, list.calling, tell],
  )
  // The rows stay as they are drawn; only the one pointed at is told apart
  useEffect(() => {
    const row = active === null ? null : document.getElementById(`${id}-${active.date}`)
    row?.classList.add('is-active')
    if (document.activeElement === list.ref.current) row?.scrollIntoView({ block: 'nearest' })
    return () => row?.classList.remove('is-active')
  }, [active?.date, rows])
  return (
    <>
      {besideName !== null && (
        <p class="hint">
          {say('In each row above {season}, below {other}.', { season: list.season, other: besideName })}
        </p>
      )}
      {first !== undefined && (
        <p class="strip-row strip-row-head" aria-hidden="true">
          <span />
          <span class="strip-row-clock">
            {[0, 4, 8].map((i) => (
              <span key={i}>{tell.hour(first.night.from + i * 3_600_000, zone)}</span>
            ))}
          </span>
        </p>
      )}
      <div
        class="night-strip strip-down"
        role="listbox"
        tabIndex={0}
        aria-label={list.label}
        aria-activedescendant={active === null ? undefined : `${id}-${active.date}`}
        ref={list.ref}
        onKeyDown={list.onKeyDown}
      >
        {rows}
      </div>
    </>
  )
}

function Hours({ one, frame }: { one: StripNight | null; frame: StripFrame }) {
  const width = frame.hours * cell.width
  if (one === null)
    return <svg class="strip-hours" viewBox={`0 0 ${width} ${cell.height}`} focusable="false" />
  const paths = hourPaths(one, frame.toned, (i) => ({
    x: i * cell.width,
    y: 0,
    width: cell.width - 0.75,
    height: cell.height,
  }))
  return (
    <svg
      class="strip-hours"
      viewBox={`0 0 ${width} ${cell.height}`}
      preserveAspectRatio="none"
      focusable="false"
    >
      {paths.tones.map((d, i) => d !== '' && <path key={i} class={`strip-tone tone-${i}`} d={d} />)}
      <path class="strip-out" d={paths.out} />
      <path class="strip-blank" d={paths.blank} />
    </svg>
  )
}

export function DoorMark() {
  return (
    <svg class="strip-door-mark" viewBox="0 0 3 9" aria-hidden="true" focusable="false">
      <path d="M0 0h3v9h-3z" />
    </svg>
  )
}
