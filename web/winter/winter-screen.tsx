import { useSignal } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import type { PlaceNow, Winter } from '../../schemas/api.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { pathTo, query } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField } from '../parts/field.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Screen } from '../parts/screen.tsx'
import { useAct } from '../parts/use-act.ts'
import { quantityName } from '../words/names.ts'
import { NightPanel } from './night-panel.tsx'
import { SeasonNights } from './season-nights.tsx'
import { newestWithReadings } from './season.ts'
import { say } from '../../shared/words/say.ts'

/** Every night of one winter in one place. */
export function WinterScreen() {
  const page = usePage()
  const places = page.tonight.value?.places ?? []
  const place = useSignal<string>(firstOf(places))
  const quantity = useSignal<Quantity>('temperature')
  const season = useSignal<string | null>(null)
  const winter = useSignal<Winter | null>(null)
  const date = useSignal<string | null>(null)
  const act = useAct()

  useEffect(() => {
    if (place.value === '') return
    const path = pathTo('places', place.value, 'winter')
    void act.run(
      () => page.ask<Winter>('GET', path + query({ quantity: quantity.value, season: season.value })),
      (found) => {
        winter.value = found
        const isThere = found.nights.some((night) => night.date === date.value)
        if (!isThere) date.value = newestWithReadings(found.nights)
      },
    )
  }, [place.value, quantity.value, season.value])

  const shown = winter.value
  const now = places.find((one) => one.id === place.value)
  if (now === undefined) {
    return (
      <Screen title={say('Winter')} heading={say('Winter')}>
        <p class="soft">
          {page.person.value?.role === 'keeper'
            ? say('There is no place yet. Make one in Set-up, and its nights will be kept here.')
            : say('There is no place yet. The nights of each will be kept here.')}
        </p>
      </Screen>
    )
  }
  return (
    <Screen title={say('Winter')} heading={say('Winter')}>
      <div class="selectors">
        <ChoiceField
          label={say('Place')}
          field="place"
          value={place.value}
          onValue={(value) => (place.value = value)}
          choices={places.map((one) => ({ value: one.id, label: one.name }))}
        />
        <ChoiceField
          label={say('Quantity')}
          field="quantity"
          value={quantity.value}
          onValue={(value) => (quantity.value = value as Quantity)}
          choices={(['temperature', 'humidity'] as const).map((one) => ({
            value: one,
            label: quantityName[one],
          }))}
        />
        <ChoiceField
          label={say('Season')}
          field="season"
          value={shown?.season ?? ''}
          onValue={(value) => (season.value = value)}
          choices={(shown?.seasons ?? []).map((one) => ({ value: one, label: one }))}
        />
      </div>
      <ProblemNote problem={act.problem.value} />
      {shown !== null && (
        <div class="winter">
          <div class="winter-night">
            {date.value === null ? (
              <p class="soft">{say('No night of this season has readings.')}</p>
            ) : (
              <NightPanel
                key={`${shown.place} ${shown.quantity} ${date.value}`}
                place={now}
                quantity={shown.quantity}
                date={date.value}
                nights={shown.nights}
                onDate={(next) => (date.value = next)}
              />
            )}
          </div>
          <SeasonNights winter={shown} chosen={date.value} onChoose={(next) => (date.value = next)} />
        </div>
      )}
    </Screen>
  )
}

/** The place to begin with: one where animals are, else one with a sensor. */
function firstOf(places: readonly PlaceNow[]): string {
  const first = places.find((place) => place.animals.length > 0 && place.values.length > 0)
  return (first ?? places.find((place) => place.values.length > 0) ?? places[0])?.id ?? ''
}
