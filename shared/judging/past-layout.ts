import type { Household } from '../../schemas/household.ts'
import type { Logger } from '../../schemas/logger.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { Layout } from './layout.ts'

/**
 * The household with the loggers of past winters behind its sensors, whose indexes stay as they are. For whoever looks at
 * the past: the watch itself knows nothing of them, so that their silence is none and their readings raise nothing (L5).
 */
export function withLoggers(layout: Layout): Layout {
  const { loggers = [] } = layout.household
  if (loggers.length === 0) return layout
  const known = made.get(layout)
  if (known !== undefined) return known
  const sensors = [...layout.sensors, ...loggers.map(asSensor)]
  const placeOfSensor = sensors.map(({ place }) =>
    place === null ? -1 : (layout.placeIndex.get(place) ?? -1),
  )
  const first = layout.sensors.length
  const whole: Layout = {
    ...layout,
    sensors,
    placeOfSensor,
    sensorIndex: new Map(sensors.map(({ id }, i) => [id, i])),
    places: layout.places.map((here, p) => ({
      ...here,
      sensors: [
        ...here.sensors,
        ...loggers.flatMap((_, i) => (placeOfSensor[first + i] === p ? [first + i] : [])),
      ],
    })),
    roles: [...layout.roles, ...loggers.map(() => null)],
    guards: [...layout.guards, ...loggers.map(() => null)],
  }
  made.set(layout, whole)
  return whole
}

/** A pure memo: charts and folds ask for it many times, and a layout changes only with the household. */
const made = new WeakMap<Layout, Layout>()

/** A logger as a sensor that nothing is heard of: no broker hands out a topic of this name to be published under. */
const asSensor = ({ id, name, place, spot, every }: Logger): Sensor => ({
  id,
  name,
  place,
  spot,
  type: 'other',
  topic: `imported/${id}`,
  channel: '',
  decoder: { kind: 'auto' },
  expectedEvery: every,
  calibrations: [],
})

/** Sensors and loggers: what readings may be of. */
export const allSensors = ({ sensors, loggers = [] }: Household): readonly Sensor[] => [
  ...sensors,
  ...loggers.map(asSensor),
]
