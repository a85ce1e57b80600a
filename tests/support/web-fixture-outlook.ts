import type { Place } from '../../schemas/place.ts'
import { days, hours, instant, later, minutes } from '../../schemas/amounts.ts'
import { PlaceOutlook } from '../../schemas/outlook.ts'
import type { Instant } from '../../schemas/units.ts'
import { unknownOutlook } from '../../shared/thermal/outlook-unknown.ts'
import { ok, type Reply } from './web-fixture-reply.ts'

/** A fridge that has had its trial runs; of all else nothing is known yet. */
export function fixtureOutlook(place: Place, now: Instant): Reply {
  const unknown = unknownOutlook('noStretch')
  const nothing = { place: place.id, at: now, now: null, room: null, from: null, holdOver: null }
  if (place.kind !== 'fridge')
    return ok(PlaceOutlook.parse({ ...nothing, powerFails: unknown, stuckOn: unknown }))
  const [soon, late] = [
    { likely: minutes(132), least: minutes(84), most: minutes(198) },
    { likely: hours(9), least: hours(6), most: hours(14) },
  ]
  const never = { likely: null, least: null, most: null }
  return ok(
    PlaceOutlook.parse({
      ...nothing,
      now: { sensor: 'fridge-air', at: instant(now - 30_000), celsius: 5.1 },
      room: { celsius: 14, uncertainty: 0.8, isMeasured: true },
      powerFails: {
        isKnown: true,
        towards: { celsius: 14, uncertainty: 0.8 },
        limits: [
          { limit: 'lowCritical', threshold: 1, time: never },
          { limit: 'low', threshold: 2, time: never },
          { limit: 'high', threshold: 8, time: soon },
          { limit: 'highCritical', threshold: 10, time: late },
        ],
      },
      stuckOn: {
        isKnown: true,
        towards: { celsius: -9, uncertainty: 4 },
        limits: [
          {
            limit: 'lowCritical',
            threshold: 1,
            time: { likely: hours(6), least: hours(4), most: hours(11) },
          },
          { limit: 'low', threshold: 2, time: { likely: hours(4), least: minutes(150), most: hours(7) } },
          { limit: 'high', threshold: 8, time: never },
          { limit: 'highCritical', threshold: 10, time: never },
        ],
      },
      from: {
        stretches: 2,
        lasted: hours(14),
        newest: later(now, -days(6)),
        nodes: 1,
        tau: hours(12),
        share: 0.09,
      },
      holdOver: {
        limit: 'high',
        threshold: 8,
        without: soon,
        litres: 6,
        withBottles: { likely: hours(4), least: minutes(150), most: hours(7) },
        areInside: false,
        isReckoned: true,
        conductance: { watts: 1.2, isMeasured: false },
      },
    }),
  )
}
