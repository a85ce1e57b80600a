import type { ReportDay } from '../../schemas/animal-report.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { Instant } from '../../schemas/units.ts'
import { judgeOf } from '../../shared/judging/silence.ts'
import { bandColumns } from '../../shared/judging/zones.ts'
import { addDays, localDate, wallInstant } from '../../shared/time/wall.ts'
import type { Store } from '../ports/store.ts'
import { calibratedHistory } from './calibrated-history.ts'
import type { PastHouse } from './past-house.ts'

/** A place as a report sees it: whose curve is drawn, and which alarms are its own. */
export interface ReportPlace {
  readonly id: PlaceId
  readonly name: string
  readonly p: number
  /** The sensor that judges it; null where none was ever heard. */
  readonly sensor: Sensor | null
  /** This place and those around it, but no room: their alarms are alarms of whoever lives here. */
  readonly around: readonly PlaceId[]
}

export function reportPlace(house: PastHouse, store: Store, id: PlaceId | null): ReportPlace | null {
  if (id === null) return null
  const state = house.state()
  const { layout } = state
  const p = layout.placeIndex.get(id)
  const here = p === undefined ? undefined : layout.places[p]
  if (p === undefined || here === undefined) return null
  const heard = (q: number): readonly Sensor[] =>
    (layout.places[q]?.sensors ?? [])
      .flatMap((s) => layout.sensors[s] ?? [])
      .filter((sensor) => store.span(sensor.id, 'temperature') !== null)
  const chain = [
    p,
    judgeOf(state, p) ?? p,
    ...here.around.filter((q) => layout.places[q]?.place.kind !== 'room'),
  ]
  const sensor = chain.flatMap(heard)[0] ?? null
  const around = [p, ...here.around].flatMap((q) => layout.places[q]?.place ?? [])
  return {
    id,
    name: here.place.name,
    p,
    sensor,
    around: around.filter((place) => place.id === id || place.kind !== 'room').map((place) => place.id),
  }
}

/** Each local day of a stretch: least, mean and greatest, with the band at its middle. */
export function daysOf(
  house: PastHouse,
  store: Store,
  place: ReportPlace,
  stretch: { readonly from: Instant; readonly to: Instant },
  timeZone: string,
): readonly ReportDay[] {
  if (stretch.from >= stretch.to) return []
  const { layout } = house.state()
  const first = localDate(stretch.from, timeZone)
  const last = localDate((stretch.to - 1) as Instant, timeZone)
  const dates: string[] = []
  for (let date = first; date <= last; date = addDays(date, 1)) dates.push(date)
  const spans = dates.map((date) => ({
    from: Math.max(stretch.from, wallInstant(date, '00:00', timeZone)) as Instant,
    to: Math.min(stretch.to, wallInstant(addDays(date, 1), '00:00', timeZone)) as Instant,
  }))
  const history = calibratedHistory(store, () => place.sensor?.calibrations ?? [])
  const summaries =
    place.sensor === null ? [] : history.summaries(place.sensor.id, 'temperature', spans, house.zonesOf)
  return dates.map((date, i) => {
    const span = spans[i] ?? stretch
    const middle = Math.round((span.from + span.to) / 2) as Instant
    const band = bandColumns(layout, place.p, 'temperature', middle, (middle + 1) as Instant)
    const summary = summaries[i]
    return {
      date,
      min: summary?.min ?? null,
      mean: summary?.mean ?? null,
      max: summary?.max ?? null,
      low: band.low[0] ?? band.lowCritical[0] ?? null,
      high: band.high[0] ?? band.highCritical[0] ?? null,
    }
  })
}
