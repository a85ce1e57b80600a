import type { Alarm } from '../../schemas/alarm.ts'
import type { PlaceNow } from '../../schemas/api.ts'
import type { LimitName, Priority } from '../../schemas/band.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Instant } from '../../schemas/units.ts'
import type { SensorFacts } from './facts.ts'
import { type Family, type Sample, truth } from './family.ts'

/** What sensors said last that is believed, each under its quantity and in its base unit. */
export function sensorFamilies(sensors: readonly SensorFacts[], now: Instant): readonly Family[] {
  const all = sensors.flatMap(({ id, place, values }) =>
    values.map((value) => ({ labels: { sensor: id, place: place ?? '' }, ...value })),
  )
  const each = (
    name: string,
    unit: 'seconds' | undefined,
    help: string,
    of: (one: (typeof all)[number]) => number,
  ) =>
    ({
      name,
      type: 'gauge',
      ...(unit === undefined ? {} : { unit }),
      help,
      samples: all.map((one) => ({ labels: { ...one.labels, quantity: one.quantity }, value: of(one) })),
    }) satisfies Family

  return [
    {
      name: 'brumal_sensor',
      type: 'info',
      help: 'A sensor, its name and the place that it is in.',
      samples: sensors.map(({ id, name, place }) => ({
        labels: { sensor: id, name, place: place ?? '' },
        value: 1,
      })),
    },
    ...quantities.map(([quantity, family, parts]) => ({
      ...family,
      type: 'gauge' as const,
      samples: all
        .filter((one) => one.quantity === quantity)
        .map(({ labels, value }): Sample => ({ labels, value: shareOf(value, parts) })),
    })),
    each(
      'brumal_reading_timestamp_seconds',
      'seconds',
      'When the newest believed reading was taken, in seconds since 1970.',
      ({ at }) => at / 1000,
    ),
    each(
      'brumal_reading_age_seconds',
      'seconds',
      'How old the newest believed reading is.',
      ({ at }) => Math.max(0, now - at) / 1000,
    ),
    each(
      'brumal_reading_fresh',
      undefined,
      '1 while the newest believed reading counts, 0 after two missed intervals or while a newer one is doubted.',
      ({ isFresh }) => truth(isFresh),
    ),
  ]
}

type Described = Pick<Family, 'name' | 'unit' | 'help'>

const percent = 100

/** Without the decimal dust of a division: 45.3 % is 0.453. */
const shareOf = (value: number, parts: number): number =>
  parts === 1 ? value : Math.round((value * 1e12) / parts) / 1e12

/** Base units: a share instead of a percentage. */
const quantities: readonly (readonly [Quantity, Described, parts: number])[] = [
  [
    'temperature',
    {
      name: 'brumal_temperature_celsius',
      unit: 'celsius',
      help: 'Newest believed temperature of a sensor, by its calibration.',
    },
    1,
  ],
  [
    'humidity',
    {
      name: 'brumal_humidity_ratio',
      unit: 'ratio',
      help: 'Newest believed relative humidity of a sensor, by its calibration.',
    },
    percent,
  ],
  [
    'battery',
    { name: 'brumal_battery_ratio', unit: 'ratio', help: 'Charge of the battery of a sensor.' },
    percent,
  ],
  [
    'voltage',
    { name: 'brumal_battery_volts', unit: 'volts', help: 'Voltage of the battery of a sensor.' },
    1,
  ],
  ['door', { name: 'brumal_door_open', help: '1 while a door contact says open.' }, 1],
  ['power', { name: 'brumal_power_present', help: '1 while a sensor of the mains says present.' }, 1],
]

/** How places stand, and the limits in force in them. */
export function placeFamilies(places: readonly PlaceNow[]): readonly Family[] {
  return [
    {
      name: 'brumal_place',
      type: 'info',
      help: 'A place, its name, its kind and what it is in.',
      samples: places.map(({ id, name, kind, parent }) => ({
        labels: { place: id, name, kind, parent: parent ?? '' },
        value: 1,
      })),
    },
    {
      name: 'brumal_place_watched',
      type: 'gauge',
      help: '1 while a place is judged by fresh values, its own or those of the place around it.',
      samples: places.map(({ id, standing }) => ({
        labels: { place: id },
        value: truth(standing !== 'unsure' && standing !== 'idle'),
      })),
    },
    {
      name: 'brumal_place_standing',
      type: 'stateset',
      help: 'How a place stands: safe, leaving, out, unsure or idle.',
      samples: places.flatMap(({ id, standing }) =>
        standings.map((one) => ({
          labels: { place: id, brumal_place_standing: one },
          value: truth(one === standing),
        })),
      ),
    },
    {
      name: 'brumal_temperature_limit_celsius',
      type: 'gauge',
      unit: 'celsius',
      help: 'Limits of temperature in force in a place.',
      samples: limitsOf(places, 'temperature', 1),
    },
    {
      name: 'brumal_humidity_limit_ratio',
      type: 'gauge',
      unit: 'ratio',
      help: 'Limits of relative humidity in force in a place.',
      samples: limitsOf(places, 'humidity', percent),
    },
  ]
}

const standings = ['safe', 'leaving', 'out', 'unsure', 'idle'] as const satisfies PlaceNow['standing'][]
const limits = ['lowCritical', 'low', 'high', 'highCritical'] as const satisfies LimitName[]

function limitsOf(places: readonly PlaceNow[], quantity: Quantity, parts: number): readonly Sample[] {
  return places.flatMap(({ id, bands }) =>
    limits.flatMap((limit): Sample[] => {
      const edge = bands[quantity]?.[limit] ?? null
      return edge === null ? [] : [{ labels: { place: id, limit }, value: shareOf(edge.value, parts) }]
    }),
  )
}

/** Every priority in every state, those with none too: a series that comes only with its first alarm has no start. */
export function alarmFamily(alarms: readonly Alarm[]): Family {
  return {
    name: 'brumal_alarms',
    type: 'gauge',
    help: 'Standing alarms by priority and state.',
    samples: priorities.flatMap((priority) =>
      states.map((state) => ({
        labels: { priority, state },
        value: alarms.filter((alarm) => alarm.priority === priority && alarm.state.name === state).length,
      })),
    ),
  }
}

const priorities = ['low', 'medium', 'high'] as const satisfies Priority[]
const states = [
  'unacknowledged',
  'acknowledged',
  'returnedUnacknowledged',
  'shelved',
  'suppressed',
  'outOfService',
] as const satisfies Alarm['state']['name'][]
