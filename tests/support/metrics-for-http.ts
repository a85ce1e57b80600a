import type { Desk } from '../../daemon/ports/desk.ts'
import { millis } from '../../schemas/amounts.ts'
import type { ValueNow } from '../../schemas/api.ts'
import type { Instant } from '../../schemas/units.ts'
import { exposed } from '../../shared/metrics/exposition.ts'
import type { MetricFacts } from '../../shared/metrics/facts.ts'
import { familiesOf } from '../../shared/metrics/families.ts'

/** What a desk in memory measures: its own places, alarms and keeping, and a count that grows with each value heard. */
export function metricsForHttp(world: {
  readonly now: () => Instant
  readonly desk: () => Pick<Desk, 'tonight' | 'household' | 'keeping'>
  readonly values: () => readonly ValueNow[]
  /** How many were heard. */
  readonly heard: () => number
}): Pick<Desk, 'metrics'> {
  const facts = (): MetricFacts => {
    const desk = world.desk()
    const { places, alarms, broker, practice } = desk.tonight()
    const values = world.values()
    return {
      now: world.now(),
      isPractice: practice,
      places,
      alarms,
      broker: broker.name,
      keeping: desk.keeping(),
      sensors: desk.household().sensors.map(({ id, name, place }) => ({
        id,
        name,
        place,
        values: values
          .filter(({ sensor }) => sensor === id)
          .map(({ quantity, value, at, fresh }) => ({ quantity, value, at, isFresh: fresh })),
      })),
      readings: {
        stored: world.heard(),
        doubted: 0,
        late: 0,
        setAside: 0,
        repeated: 0,
        messages: world.heard(),
        refused: { notJson: 1 },
      },
      outbox: { waiting: 0, oldest: null },
      program: { startedAt: world.now(), loopLag: millis(3), version: '0.0.0', node: '20.0.0' },
    }
  }
  return { metrics: (exposition) => exposed(familiesOf(facts()), exposition) }
}
