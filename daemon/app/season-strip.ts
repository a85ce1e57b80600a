import type { Night } from '../../schemas/api.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import { emptyStrip, type WinterStrip } from '../../schemas/winter-strip.ts'
import { hours, instant, millis } from '../../schemas/amounts.ts'
import type { Layout } from '../../shared/judging/layout.ts'
import { zoneWalker } from '../../shared/judging/zones.ts'
import { stripHours } from '../../shared/season/strip.ts'
import { silentAfter } from '../../shared/sensing/freshness.ts'
import { openingsOnce } from '../../shared/thermal/door-contact.ts'
import type { Store } from '../ports/store.ts'
import type { History } from './calibrated-history.ts'

const hour = hours(1)
/** A winter's worst places raised some hundreds of alarms; of more the newest are marked (X3). */
const mostMarks = 2_000

/**
 * The nights of one place hour by hour, with its alarms and the openings of its door. `nights` are ascending; the answer begins with
 * the newest, like the list of nights that it stands beside.
 */
export function seasonStrip(
  { store, history, layout }: { readonly store: Store; readonly history: History; readonly layout: Layout },
  p: number,
  sensor: Sensor,
  quantity: Quantity,
  nights: readonly Night[],
): WinterStrip {
  const [first, last] = [nights[0], nights.at(-1)]
  if (first === undefined || last === undefined) return emptyStrip
  // From clock hour to clock hour, so that each column is one and the figures of the blocks give it
  const from = instant(Math.floor(first.from / hour) * hour)
  const to = instant(Math.ceil(last.to / hour) * hour)
  const gap = millis(Math.max(hour, silentAfter(sensor)))
  const { columns } = history.columns(sensor.id, quantity, from, to, (to - from) / hour, gap)
  const judging = layout.placeOfSensor[layout.sensorIndex.get(sensor.id) ?? -1] ?? p
  const during = { from: first.from, to: last.to, limit: mostMarks }
  const here = placesAt(layout, [p])
  const strip = stripHours(nights, columns, zoneWalker(layout, judging < 0 ? p : judging, quantity))
  return {
    hours: strip.hours.reverse(),
    low: strip.low.reverse(),
    high: strip.high.reverse(),
    gaps: strip.gaps,
    raised: store
      .journal({ ...during, places: here, kinds: ['raised'] })
      .flatMap(({ at, priority }) => (priority === undefined ? [] : [{ at, priority }]))
      .reverse(),
    opened: openingsOnce(
      store.journal({ ...during, places: behindItsDoor(layout, p, here), kinds: ['doorOpened'] }),
    )
      .map(({ at }) => at)
      .sort((one, other) => one - other),
  }
}

/** It and what stands around it up to the room, whose door is another matter. */
function behindItsDoor(layout: Layout, p: number, here: readonly PlaceId[]): PlaceId[] {
  const around = (layout.places[p]?.around ?? []).filter((q) => layout.places[q]?.place.kind !== 'room')
  return [...here, ...placesAt(layout, around)]
}

const placesAt = (layout: Layout, indexes: readonly number[]): PlaceId[] =>
  indexes.flatMap((q) => layout.places[q]?.place.id ?? [])
