import { PlaceAir } from '../../schemas/air.ts'
import { hours, instant, later, minutes } from '../../schemas/amounts.ts'
import { PlaceCost } from '../../schemas/cost.ts'
import type { Household } from '../../schemas/household.ts'
import type { Place } from '../../schemas/place.ts'
import { nightsBetween } from '../../shared/time/night.ts'
import { addDays, localDate } from '../../shared/time/wall.ts'
import { ok, problem, type Reply } from './web-fixture-reply.ts'

const dayMs = 86_400_000
const hourMs = 3_600_000

/** What the air of a place and its winter are told to be. The cellar's cannot be reckoned; of the warm enclosure nothing is known. */
export function fixtureAir(household: Household, place: Place, what: string, query: URLSearchParams): Reply {
  const [from, to] = [instant(Number(query.get('from'))), instant(Number(query.get('to')))]
  if (place.id === 'cellar') return problem(503, 'busy', 'Too much is asked at once. Try again in a minute.')
  const lasted = to - from
  const none = minutes(0)
  if (what === 'air')
    return ok(
      PlaceAir.parse({
        place: place.id,
        from,
        to,
        humidity: 'fridge-air',
        temperature: 'fridge-air',
        known: lasted - hours(3),
        unknown: hours(3),
        fromHours: none,
        meanDeficit: 0.19,
        drying: 0.19 * ((lasted - hours(3)) / hourMs),
        wetting: { wet: minutes(80), near: hours(2), dry: lasted - minutes(380), unknown: hours(3) },
      }),
    )
  const days = lasted / dayMs
  const isWarm = place.id === 'warm-room'
  const zone = household.timeZone
  const nights = isWarm
    ? []
    : nightsBetween(localDate(from, zone), addDays(localDate(to, zone), -1), zone, household.night)
  const beyond = (limit: string, time: number, kelvinHours: number) => ({
    limit,
    time,
    degreeHours: { least: kelvinHours, most: kelvinHours * 1.2 },
  })
  return ok(
    PlaceCost.parse({
      place: place.id,
      sensor: isWarm ? null : 'fridge-air',
      from,
      to,
      known: isWarm ? none : lasted - hours(7),
      unknown: isWarm ? lasted : hours(7),
      fromHours: isWarm ? none : hours(400),
      mean: isWarm ? null : 4.7,
      meanKinetic: isWarm ? null : { least: 4.8, most: 5 },
      beyond: [
        beyond('lowCritical', isWarm ? 0 : minutes(26), 0.2),
        beyond('low', isWarm ? 0 : hours(9), 6.4),
        beyond('high', isWarm ? 0 : hours(31), 41),
        beyond('highCritical', 0, 0),
      ],
      metabolicDays: { days: days * 0.95, least: days * 0.8, most: days, reference: 5, beyond: hours(2) },
      min: isWarm ? null : { at: later(to, -hours(90)), value: 0.9 },
      max: isWarm ? null : { at: later(from, hours(5)), value: 8.2 },
      nights: nights.map(({ date, from: evening }, i) => ({
        date,
        at: later(evening, hours(6 + (i % 4))),
        min: 3.9 + Math.sin(i) * 0.7,
      })),
    }),
  )
}
