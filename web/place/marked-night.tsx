import type { Signal } from '@preact/signals'
import type { PlaceNow } from '../../schemas/api.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { useCurve } from '../chart/use-curve.ts'
import { type PlaceLines, useMarks } from '../chart/use-marks.ts'
import { NightView } from '../tonight/place-night.tsx'

/** The place's night with all that its page knows of it beside the curve. */
export function MarkedNight({
  place,
  quantity,
  band,
  told,
}: {
  place: PlaceNow
  quantity: Signal<Quantity>
  band: string
  told: PlaceLines
}) {
  const state = useCurve(place.id, quantity.value, null).value
  const marks = useMarks(place, state.name === 'here' ? state.curve : null, told)
  return <NightView place={place} quantity={quantity} band={band} state={state} marks={marks} heading="h2" />
}
