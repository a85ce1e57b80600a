import type { Household } from '../../schemas/household.ts'
import type { Person } from '../../schemas/person.ts'
import type { Place } from '../../schemas/place.ts'
import type { Trial } from '../../schemas/trial.ts'
import { TrialAct, TrialNow } from '../../schemas/trial-report.ts'
import { days, hours, instant, later, millis, minutes } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { silentAfter } from '../../shared/sensing/freshness.ts'
import { catalogue } from '../../shared/species/catalogue.ts'
import { actOnTrial } from '../../shared/thermal/trial-acts.ts'
import { limitsOf, trialReport } from '../../shared/thermal/trial-report.ts'
import { plugsOf, skipsOf, stretchOf } from '../../shared/thermal/trial-times.ts'
import { endTrialWalk, startTrialWalk, walkTrial } from '../../shared/thermal/trial-walk.ts'
import { nightsBetween } from '../../shared/time/night.ts'
import { localDate } from '../../shared/time/wall.ts'
import type { Truth } from './web-fixture-curves.ts'
import { invalid, ok, problem, type Reply } from './web-fixture-reply.ts'

const every = minutes(2)

/**
 * Trial runs with the real judging of invented curves. The larder fridge has a run behind it with its plug out once; in
 * this house a run may begin though animals are down.
 */
export function fixtureTrials(world: {
  readonly now: () => Instant
  readonly me: () => Person
  readonly household: () => Household
  readonly save: (place: Place) => void
  readonly truth: Truth
}) {
  const { now, me, household, save, truth } = world
  const past = {
    from: later(now(), -days(60)),
    until: later(now(), -days(52)),
    by: 'Robin',
    litres: 6,
    plugOut: [{ from: later(now(), -days(55)), until: later(now(), -days(55) + hours(5)) }],
  } satisfies Trial
  let hasPast = true

  return (method: string, place: Place, body: unknown): Reply => {
    const trial = place.trial ?? (place.id === 'larder-fridge' && hasPast ? past : undefined)
    const { name } = place
    if (method === 'POST') {
      if (me().role !== 'keeper') return problem(403, 'keeperOnly', 'Only a keeper may do this.')
      const act = TrialAct.safeParse(body)
      if (!act.success) return invalid(act.error.issues)
      const moved = actOnTrial({ name, trial, animalsDown: [], hasSensor: true }, act.data, now(), me().name)
      if (!moved.ok) return problem(409, moved.error, moved.sentence)
      hasPast &&= place.id !== 'larder-fridge'
      const { trial: _, ...rest } = place
      save(moved.value === null ? rest : { ...rest, trial: moved.value })
      return ok({ trial: moved.value })
    }
    return ok(
      TrialNow.parse({
        place: place.id,
        name,
        trial: trial ?? null,
        report: trial === undefined ? null : reportOn(place, trial),
      }),
    )
  }

  function reportOn(place: Place, trial: Trial) {
    const { places, sensors, guidance, timeZone, night } = household()
    const run = stretchOf(trial, now())
    const plugs = plugsOf(trial, run)
    const within = places.filter(({ id, parent }) => id === place.id || parent === place.id)
    const species = catalogue.filter(({ id }) => id === 'testudo-hermanni' || id === 'thamnophis-sirtalis')
    const nights = nightsBetween(localDate(run.from, timeZone), localDate(run.to, timeZone), timeZone, night)
    const walked = within.flatMap((here) =>
      sensors
        .filter((sensor) => sensor.place === here.id)
        .map((sensor) => {
          const walk = startTrialWalk({
            run,
            holds: silentAfter(sensor),
            isAir: sensor.spot === 'air',
            skips: skipsOf(run, plugs, sensor.check),
            plugs,
            nights,
            limits: limitsOf(species, guidance),
          })
          for (let at = run.from; at < run.to; at = later(at, every))
            walkTrial(walk, { at, celsius: truth(sensor.id, 'temperature', at) + warmed(plugs, at) })
          endTrialWalk(walk)
          return { sensor, place: here, walk, hourly: millis(0) }
        }),
    )
    return trialReport({
      trial,
      run,
      kind: place.kind,
      isGuarded: place.guardBand !== 'off',
      sensors: walked,
      room: null,
      species,
      guidance,
    })
  }
}

/** How much warmer it is for a plug that is out, or was: towards 15 K more in 8 h, and back in two. */
function warmed(plugs: readonly { readonly from: Instant; readonly to: Instant }[], at: Instant): number {
  const plug = plugs.findLast(({ from }) => from <= at)
  if (plug === undefined) return 0
  const out = 15 * (1 - Math.exp(-(Math.min(at, plug.to) - plug.from) / hours(8)))
  return out * Math.exp(-Math.max(0, at - instant(plug.to)) / hours(2))
}
