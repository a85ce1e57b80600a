import type { SensorId } from '../../schemas/ids.ts'
import { later } from '../../schemas/amounts.ts'
import { Quantity } from '../../schemas/quantity.ts'
import type { Instant } from '../../schemas/units.ts'
import { placesNow } from '../../shared/judging/place-now.ts'
import type { WatchState } from '../../shared/judging/watch-state.ts'
import { exposed } from '../../shared/metrics/exposition.ts'
import type { MetricFacts, SensorFacts } from '../../shared/metrics/facts.ts'
import { familiesOf } from '../../shared/metrics/families.ts'
import { freshFor } from '../../shared/sensing/freshness.ts'
import type { Clock } from '../ports/clock.ts'
import type { Desk } from '../ports/desk.ts'
import type { MetricsDesk } from '../ports/metrics.ts'
import type { House } from './house.ts'
import type { Outbox } from './outbox.ts'
import type { Sources } from './sources.ts'

export interface MetricsWorld {
  readonly house: Pick<House, 'state' | 'counts'>
  readonly clock: Clock
  readonly sources: Pick<Sources, 'counts'>
  readonly outbox: Pick<Outbox, 'waiting' | 'oldest'>
  readonly keeping: Pick<Desk, 'keeping'>
  readonly connection: Desk['connection']
  readonly isPractice: boolean
  readonly program: () => MetricFacts['program']
}

/** Measures the house as it stands when it is asked. */
export function openMetrics(world: MetricsWorld): MetricsDesk {
  const { house, clock, sources, outbox } = world

  function facts(): MetricFacts {
    const now = clock.now()
    const state = house.state()
    return {
      now,
      isPractice: world.isPractice,
      sensors: sensorsIn(state, now),
      places: placesNow(state, now),
      alarms: [...state.alarms.values()],
      readings: { ...house.counts(), ...sources.counts() },
      outbox: { waiting: outbox.waiting(), oldest: outbox.oldest() },
      broker: world.connection().broker.name,
      keeping: world.keeping.keeping(),
      program: world.program(),
    }
  }

  return { metrics: (exposition) => exposed(familiesOf(facts()), exposition) }
}

function sensorsIn(state: WatchState, now: Instant): readonly SensorFacts[] {
  return state.layout.sensors.map((sensor, s) => ({
    id: sensor.id satisfies SensorId,
    name: sensor.name,
    place: sensor.place,
    values: Quantity.options.flatMap((quantity) => {
      const series = state.sensors[s]?.series[quantity]
      if (series === undefined || series.good === null) return []
      const { at, value } = series.good
      const isFresh = series.last.at === at && now <= later(at, freshFor(sensor))
      return [{ quantity, value, at, isFresh }]
    }),
  }))
}
