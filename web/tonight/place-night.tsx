import type { Signal } from '@preact/signals'
import type { Night, PlaceNow } from '../../schemas/api.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { NamesHere } from '../chart/fault-words.ts'
import { NightChart } from '../chart/night-chart.tsx'
import { type Marks, noMarks } from '../chart/marks.ts'
import { type CurveNow, useCurve } from '../chart/use-curve.ts'
import { usePage } from '../page/use-page.ts'
import { sentenceOf } from '../page/ask.ts'
import { quantityName } from '../words/names.ts'
import { say } from '../../shared/words/say.ts'

interface Shown {
  readonly place: PlaceNow
  readonly quantity: Signal<Quantity>
  readonly band: string
}

/** The place's night with its sensors' lines alone; temperature first, humidity where it is measured. */
export function PlaceNight(shown: Shown) {
  const state = useCurve(shown.place.id, shown.quantity.value, null).value
  return <NightView {...shown} state={state} />
}

/** A place's night as far as it is here, with what is marked beside the curve. */
export function NightView({
  place,
  quantity,
  band,
  state,
  marks = noMarks,
  heading: Heading = 'h3',
}: Shown & {
  readonly state: CurveNow
  readonly marks?: Marks
  readonly heading?: 'h2' | 'h3'
}) {
  const { tonight } = usePage()
  const names = namesFrom(place, tonight.value?.places ?? [])
  const measured = (['temperature', 'humidity'] as const).filter((one) =>
    place.values.some((value) => value.quantity === one),
  )

  return (
    <section class="place-night" aria-label={say('Night in {place}', { place: place.name })}>
      <header class="place-night-head">
        <Heading>
          {state.name === 'here' ? (
            <NightName night={state.curve.night} zone={place.timeZone} />
          ) : (
            say('Night')
          )}
        </Heading>
        {measured.length > 1 && (
          <div class="choice" role="group" aria-label={say('Quantity')}>
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
        <NightChart
          curve={state.curve}
          zone={place.timeZone}
          name={place.name}
          band={band}
          marks={marks}
          names={names}
          runsOn
        />
      ) : (
        <div class="night night-waiting">
          <p class="soft">
            {state.name === 'failed' ? sentenceOf(state.problem) : say('Fetching the night …')}
          </p>
        </div>
      )}
    </section>
  )
}

/** What the marks are about, as the page knows it. */
function namesFrom(here: PlaceNow, places: readonly PlaceNow[]): NamesHere {
  const sensors = places.flatMap(({ values }) => values)
  return {
    here: here.id,
    place: (id) => places.find((one) => one.id === id)?.name ?? id,
    sensor: (id) => sensors.find((one) => one.sensor === id)?.sensorName ?? id,
  }
}

/** Alone, so that the clock redraws these words and not the chart. After the morning the curve runs on. */
function NightName({ night, zone }: { night: Night; zone: string }) {
  const { tonight, now, tell } = usePage()
  const running = tonight.value?.night
  const isNight = running !== undefined && running.date === night.date && now.value < running.to
  return (
    <>{isNight ? say('Tonight') : say('Since {time}', { time: tell.when(night.from, now.value, zone) })}</>
  )
}
