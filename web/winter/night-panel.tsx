import type { NightSummary, PlaceNow } from '../../schemas/api.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { NightChart } from '../chart/night-chart.tsx'
import { useCurve } from '../chart/use-curve.ts'
import { sentenceOf } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { neighbour } from './season.ts'

/** The chosen night's curve, with the way to the nights beside it. */
export function NightPanel({
  place,
  quantity,
  date,
  nights,
  onDate,
}: {
  place: PlaceNow
  quantity: Quantity
  date: string
  nights: readonly NightSummary[]
  onDate: (date: string) => void
}) {
  const { tell } = usePage()
  const state = useCurve(place.id, quantity, date).value
  const night = nights.find((one) => one.date === date)
  const earlier = neighbour(nights, date, -1)
  const later = neighbour(nights, date, 1)
  return (
    <section class="night-panel" aria-label={`Night of ${tell.date(date)}`}>
      <header class="night-panel-head">
        <h2>{tell.date(date)}</h2>
        <div class="choice">
          <button
            type="button"
            disabled={earlier === null}
            onClick={() => earlier !== null && onDate(earlier)}
          >
            Earlier
          </button>
          <button type="button" disabled={later === null} onClick={() => later !== null && onDate(later)}>
            Later
          </button>
        </div>
      </header>
      {state.name === 'here' ? (
        <NightChart curve={state.curve} zone={place.timeZone} name={place.name} band="" />
      ) : (
        <div class="night night-waiting">
          <p class="soft">{state.name === 'failed' ? sentenceOf(state.problem) : 'Fetching the night …'}</p>
        </div>
      )}
      {night !== undefined && (
        <p class="night-sum soft">
          {night.mean !== null && `Mean ${tell.value(night.mean, quantity)}. `}
          Inside {durationWords(night.inside)}
          {night.below > 0 && `, below ${durationWords(night.below)}`}
          {night.above > 0 && `, above ${durationWords(night.above)}`}
          {night.unknown > 0 && `, unknown ${durationWords(night.unknown)}`}.
          {night.alarms > 0 && ` ${night.alarms === 1 ? 'One alarm' : `${night.alarms} alarms`}.`}
        </p>
      )}
    </section>
  )
}
