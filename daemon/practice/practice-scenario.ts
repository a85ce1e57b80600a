import type { z } from 'zod'
import { Scenario } from '../../schemas/scenario.ts'
import { days, later } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { addDays, localDate, wallInstant } from '../../shared/time/wall.ts'

/**
 * The physics of the practice household from `from` to `to`, with what happened meanwhile: the doors opened every few
 * days, one cold night, one sensor silent for an hour, two spikes. The same instants give the same past.
 */
export function practiceScenario(from: Instant, to: Instant, timeZone: string): Scenario {
  return Scenario.parse({
    name: 'Practice',
    start: new Date(from).toISOString(),
    lasts: Math.max(to - from, 60_000),
    step: '60 s',
    timeZone,
    places: [
      {
        id: 'cellar',
        kind: 'room',
        mean: 12,
        swing: 0.5,
        weather: { sd: 0.4, memory: '18 h' },
        humidity: 52,
      },
      { id: 'cellar-fridge', kind: 'fridge', parent: 'cellar', setPoint: 4.4, hysteresis: 1.6, airs: '2 h' },
      {
        id: 'juniper-box',
        kind: 'box',
        parent: 'cellar-fridge',
        capacity: 22_000,
        conductance: 1.6,
        humidity: 68,
      },
      {
        id: 'clover-box',
        kind: 'box',
        parent: 'cellar-fridge',
        capacity: 16_000,
        conductance: 1.4,
        humidity: 70,
      },
      {
        id: 'marsh-box',
        kind: 'box',
        parent: 'cellar-fridge',
        capacity: 12_000,
        conductance: 1.2,
        humidity: 88,
      },
      {
        id: 'small-fridge',
        kind: 'fridge',
        parent: 'cellar',
        setPoint: 5,
        hysteresis: 1.4,
        linerCapacity: 4000,
      },
      { id: 'reed-box', kind: 'box', parent: 'small-fridge', capacity: 9000, conductance: 1, humidity: 80 },
      { id: 'study', kind: 'room', mean: 20, swing: 1, weather: { sd: 0.5, memory: '12 h' }, humidity: 45 },
      {
        id: 'warm-enclosure',
        kind: 'enclosure',
        parent: 'study',
        capacity: 30_000,
        conductance: 3,
        humidity: 74,
        moistens: '30 min',
        airs: '6 h',
        startsAt: 27,
        heater: { watts: 60, setPoint: 29, nightSetPoint: 25, hysteresis: 0.8 },
      },
      {
        id: 'window-table',
        kind: 'enclosure',
        parent: 'study',
        capacity: 20_000,
        conductance: 4,
        humidity: 50,
        airs: '1 h',
        startsAt: 22,
        heater: { watts: 40, setPoint: 25, nightSetPoint: 18, hysteresis: 0.8 },
      },
    ],
    sensors: [
      { id: 'cellar-fridge-air', place: 'cellar-fridge', type: 'ds18b20' },
      { id: 'cellar-fridge-door', place: 'cellar-fridge', type: 'contact', measures: ['door'] },
      {
        id: 'juniper-soil',
        place: 'juniper-box',
        type: 'sht3x',
        measures: ['temperature', 'humidity', 'battery'],
      },
      { id: 'clover-soil', place: 'clover-box', type: 'ds18b20' },
      {
        id: 'marsh-soil',
        place: 'marsh-box',
        type: 'sht3x',
        measures: ['temperature', 'humidity'],
      },
      { id: 'small-fridge-air', place: 'small-fridge', type: 'ds18b20' },
      {
        id: 'warm-enclosure-air',
        place: 'warm-enclosure',
        type: 'dht22',
        measures: ['temperature', 'humidity'],
        noise: 0.1,
      },
      { id: 'window-table-air', place: 'window-table', type: 'ds18b20' },
      { id: 'cellar-air', place: 'cellar', type: 'bme280', measures: ['temperature', 'humidity'] },
    ].map((sensor) => ({ ...sensor, every: '2 min', jitter: '3 s' })),
    events: pastEvents(from, to, timeZone),
  })
}

type GivenEvent = NonNullable<z.input<typeof Scenario>['events']>[number]

/** Days back and the wall time at which each began. */
const past: readonly (readonly [
  daysBack: number,
  wall: string,
  event: DistributiveOmit<GivenEvent, 'after'>,
])[] = [
  [12, '18:20', { kind: 'doorOpen', place: 'cellar-fridge', lasts: '4 min' }],
  [10, '18:40', { kind: 'doorOpen', place: 'small-fridge', lasts: '3 min' }],
  [9, '17:50', { kind: 'doorOpen', place: 'cellar-fridge', lasts: '4 min' }],
  [8, '03:10', { kind: 'silent', sensor: 'marsh-soil', lasts: '1 h' }],
  [6, '18:30', { kind: 'doorOpen', place: 'cellar-fridge', lasts: '5 min' }],
  [5, '20:00', { kind: 'coldSpell', place: 'cellar', by: 8, lasts: '12 h' }],
  [4, '14:05', { kind: 'spike', sensor: 'clover-soil', by: 14, lasts: '2 min' }],
  [3, '18:10', { kind: 'doorOpen', place: 'cellar-fridge', lasts: '4 min' }],
  [2, '18:15', { kind: 'doorOpen', place: 'small-fridge', lasts: '3 min' }],
  [2, '04:35', { kind: 'spike', sensor: 'warm-enclosure-air', by: -13, lasts: '2 min' }],
  [1, '18:25', { kind: 'doorOpen', place: 'cellar-fridge', lasts: '4 min' }],
]

function pastEvents(from: Instant, to: Instant, timeZone: string): GivenEvent[] {
  const today = localDate(to, timeZone)
  return past.flatMap(([daysBack, wall, event]) => {
    const at = wallInstant(addDays(today, -daysBack), wall, timeZone)
    const isPast = at > from && later(at, days(0.5)) < to
    return isPast ? [{ ...event, after: at - from }] : []
  })
}

type DistributiveOmit<T, K extends PropertyKey> = T extends unknown ? Omit<T, K> : never
