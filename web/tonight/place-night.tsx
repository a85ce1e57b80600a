import type { Signal } from '@preact/signals'
import type { PlaceNow } from '../../schemas/api.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { NightChart } from '../chart/night-chart.tsx'
import { useCurve } from '../chart/use-curve.ts'
import { usePage } from '../page/use-page.ts'
import { sentenceOf } from '../page/ask.ts'
import { quantityName } from '../words/names.ts'

/** The place's night; temperature first, humidity where it is measured. */
export function PlaceNight({
  place,
  quantity,
  band,
}: {
  place: PlaceNow
  quantity: Signal<Quantity>
  band: string
}) {
  const { now, tell } = usePage()
  const state = useCurve(place.id, quantity.value, null).value
  const measured = (['temperature', 'humidity'] as const).filter((one) =>
    place.values.some((value) => value.quantity === one),
  )
  const night = state.name === 'here' ? state.curve.night : null
  const title =
    night === null ? 'Night' : now.value < night.to ? 'Tonight' : `Night of ${tell.date(night.date)}`

  return (
    <section class="place-night" aria-label={`Night in ${place.name}`}>
      <header class="place-night-head">
        <h3>{title}</h3>
        {measured.length > 1 && (
          <div class="choice" role="group" aria-label="Quantity">
            {measured.map((one) => (
              <button
                key={one}
                type="button"
                aria-pressed={quantity.value === one}
                onClick={() => (quantity.value = one)}
              >
                {quantityName[one]}
              </button>
            ))}
          </div>
        )}
      </header>
      {state.name === 'here' ? (
        <NightChart curve={state.curve} zone={place.timeZone} name={place.name} band={band} />
      ) : (
        <div class="night night-waiting">
          <p class="soft">{state.name === 'failed' ? sentenceOf(state.problem) : 'Fetching the night …'}</p>
        </div>
      )}
    </section>
  )
}
