import type { NightSummary, PlaceNow } from '../../schemas/api.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { NightChart } from '../chart/night-chart.tsx'
import { useCurve } from '../chart/use-curve.ts'
import { sentenceOf } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { neighbour } from './season.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

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
    <section class="night-panel" aria-label={say('Night of {date}', { date: tell.date(date) })}>
      <header class="night-panel-head">
        <h2>{tell.date(date)}</h2>
        <div class="choice">
          <button
            type="button"
            disabled={earlier === null}
            onClick={() => earlier !== null && onDate(earlier)}
          >
            {say('Earlier')}
          </button>
          <button type="button" disabled={later === null} onClick={() => later !== null && onDate(later)}>
            {say('Later')}
          </button>
        </div>
      </header>
      {state.name === 'here' ? (
        <NightChart curve={state.curve} zone={place.timeZone} name={place.name} band="" />
      ) : (
        <div class="night night-waiting">
          <p class="soft">
            {state.name === 'failed' ? sentenceOf(state.problem) : say('Fetching the night …')}
          </p>
        </div>
      )}
      {night !== undefined && (
        <p class="night-sum soft">
          {sayWith('{part}Inside {duration}{part2}{part3}{part4}.{part5}', {
            part: night.mean !== null && say('Mean {value}. ', { value: tell.value(night.mean, quantity) }),
            duration: durationWords(night.inside),
            part2: night.below > 0 && say(', below {duration}', { duration: durationWords(night.below) }),
            part3: night.above > 0 && say(', above {duration}', { duration: durationWords(night.above) }),
            part4:
              night.unknown > 0 && say(', unknown {duration}', { duration: durationWords(night.unknown) }),
            part5:
              night.alarms > 0 &&
              ` ${night.alarms === 1 ? say('One alarm') : say('{alarms} alarms', { alarms: night.alarms })}.`,
          })}
        </p>
      )}
    </section>
  )
}
