import { useSignal } from '@preact/signals'
import { useEffect, useMemo, useRef } from 'preact/hooks'
import type { PlaceNow, Winter } from '../../schemas/api.ts'
import { useWidth } from '../animals/use-width.ts'
import { pathOfNight, pathOfWinter } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { isUnanswered } from '../words/alarm-words.ts'
import { quantityName } from '../words/names.ts'
import { say } from '../../shared/words/say.ts'
import { keysOf, type NightList } from './night-list.ts'
import { NightPanel } from './night-panel.tsx'
import { NightsTable } from './nights-table.tsx'
import { dayOfSeason, nightOn, type StripNight } from './strip.ts'
import { pitchBounds, StripAcross } from './strip-across.tsx'
import { StripDown } from './strip-down.tsx'
import { type DrawnSeason, drawnSeason, frameOf } from './strip-frame.ts'
import { StripKey } from './strip-key.tsx'
import { WinterNumbersTable } from './winter-numbers.tsx'
import { nightLine, summaryWords } from './winter-words.ts'

/** From this width on the nights stand across, if each has room for a column, in CSS px. */
const acrossFrom = 560

/** One season as a strip, another above it by the date; their nights from near, their numbers, the same as tables. */
export function WinterStrip({
  place,
  winters,
  date,
  isBusy,
}: {
  place: PlaceNow
  winters: readonly Winter[]
  date: string | null
  isBusy: boolean
}) {
  const { tell, now, route, tonight } = usePage()
  const { ref, width: measured } = useWidth()
  const isTable = useSignal(false)
  const at = now.peek()
  const seasons = useMemo(() => winters.map((winter) => drawnSeason(winter, at)), [winters])
  const frame = useMemo(() => frameOf(seasons), [seasons])
  const open = date === null ? null : (found(seasons, date) ?? null)
  const active = useSignal<number>(
    open?.night.day ?? seasons[0]?.nights.at(-1)?.day ?? seasons[1]?.nights.at(-1)?.day ?? 0,
  )
  /** The list in which the reader last was: the focus comes back to it. */
  const lastList = useRef(0)
  const lists = [useRef<HTMLDivElement>(null), useRef<HTMLDivElement>(null)] as const
  const wasOpen = useRef(date)

  useEffect(() => {
    const before = wasOpen.current
    wasOpen.current = date
    const night = date === null ? null : found(seasons, date)
    if (night !== null) {
      active.value = night.night.day
      lastList.current = night.season
    } else if (before !== null && date === null) {
      lists[lastList.current === 1 ? 1 : 0].current?.focus()
    }
  }, [date])

  const calling = useMemo(() => {
    const since = (tonight.value?.alarms ?? [])
      .filter((alarm) => alarm.place === place.id && isUnanswered(alarm))
      .flatMap(({ state }) => ('since' in state && state.since !== null ? [state.since] : []))
    const nights = seasons.flatMap((season) => season.nights)
    return new Set(
      nights
        .filter(({ night }) => since.some((one) => one >= night.from && one < night.to))
        .map((one) => one.date),
    )
  }, [seasons, tonight.value?.alarms, place.id])

  if (frame === null) return null
  const width = measured === 0 ? widthAtFirst() : measured
  const days = frame.lastDay - frame.firstDay + 1
  const isAcross = width >= acrossFrom && days * pitchBounds.least + 60 <= width

  const openNight = (night: StripNight | null): void => {
    if (night === null) return
    active.value = night.day
    const path = pathOfNight(place.id, night.date)
    if (date === null) route.go(path)
    else route.replace(path)
  }
  const close = (): void => {
    const { by, from } = route.coming
    if (by === 'link' && from !== null && !from.includes(`/${date ?? ''}`)) window.history.back()
    else route.replace(pathOfWinter(place.id))
  }
  const pointTo = (i: number) => (day: number) => {
    active.value = day
    // With a night open the arrows lead through the nights themselves
    const next = date === null ? null : nightOn(seasons[i]?.nights ?? [], day)
    if (next !== null) route.replace(pathOfNight(place.id, next.date))
  }
  const listOf = (season: DrawnSeason, i: number): NightList => ({
    label: say('{quantity} in {place}, nights of {season}. Arrow keys move, Enter opens a night.', {
      quantity: quantityName[season.winter.quantity],
      place: place.name,
      season: season.winter.season,
    }),
    season: season.winter.season,
    quantity: season.winter.quantity,
    nights: season.nights,
    active: active.value,
    chosen: open !== null && open.season === i ? open.night.day : null,
    calling,
    ref: lists[i === 1 ? 1 : 0],
    onKeyDown: keysOf(season.nights, active.value, !isAcross, pointTo(i), openNight),
    onPoint: (day) => (active.value = day),
    onOpen: openNight,
  })
  const [main, other] = seasons
  const isNear = open !== null && main !== undefined
  const panel = isNear && (
    <NightPanel
      key={`${place.id} ${winters[0]?.quantity ?? ''}`}
      place={place}
      quantity={seasons[open.season]?.winter.quantity ?? 'temperature'}
      night={open.night}
      nights={seasons[open.season]?.nights ?? []}
      onOpen={openNight}
      onClose={close}
    />
  )

  return (
    <div class="winter" ref={ref} aria-busy={isBusy}>
      {seasons.map(({ winter }) => (
        <p key={winter.season} class="winter-sum">
          {seasons.length > 1 && <strong>{winter.season}: </strong>}
          {summaryWords(winter, at, tell)}
        </p>
      ))}
      {(isAcross || !isNear) && (
        <figure class="winter-strip">
          <figcaption class="winter-head">
            <span class={isAcross ? 'winter-reading' : 'winter-reading is-idle'} aria-hidden="true">
              {seasons.map((season) => (
                <span key={season.winter.season}>
                  {pointedWords(season, active.value, seasons.length > 1)}
                </span>
              ))}
            </span>
            <button
              type="button"
              class="quiet"
              aria-pressed={isTable.value}
              onClick={() => (isTable.value = !isTable.value)}
            >
              {say('as a table')}
            </button>
          </figcaption>
          {isTable.value
            ? seasons.map((season) => <NightsTable key={season.winter.season} season={season} />)
            : isAcross
              ? seasons.map((season, i) => (
                  <div key={season.winter.season} class="winter-season">
                    {seasons.length > 1 && <h2>{season.winter.season}</h2>}
                    <StripAcross list={listOf(season, i)} frame={frame} width={width} zone={place.timeZone} />
                  </div>
                ))
              : main !== undefined && (
                  <StripDown
                    list={listOf(main, 0)}
                    beside={other?.nights ?? none}
                    besideName={other?.winter.season ?? null}
                    frame={frame}
                    zone={place.timeZone}
                  />
                )}
          {!isTable.value && (
            <StripKey nights={seasons.flatMap((season) => season.nights)} hasSpread={isAcross} />
          )}
        </figure>
      )}
      {panel}
      {(isAcross || !isNear) && <WinterNumbersTable seasons={seasons} />}
    </div>
  )

  function pointedWords({ winter, nights }: DrawnSeason, day: number, isNamed: boolean): string {
    const night = nightOn(nights, day)
    const line = night === null ? say('no night watched') : nightLine(night, winter.quantity, tell)
    return isNamed ? say('{season}: {line}', { season: winter.season, line }) : line
  }
}

const none: readonly StripNight[] = []

/** Before it is measured: the window without the page's own margins, so that nothing jumps. */
const widthAtFirst = (): number => Math.min(window.innerWidth, 1184) - (window.innerWidth < 768 ? 32 : 64)

/** The night of a date and in which season it is; null where none has it. */
function found(seasons: readonly DrawnSeason[], date: string): { season: number; night: StripNight } | null {
  for (const [season, { winter, nights }] of seasons.entries()) {
    const night = nights.find((one) => one.date === date)
    if (night !== undefined && night.day === dayOfSeason(date, winter.season)) return { season, night }
  }
  return null
}
