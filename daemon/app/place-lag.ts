import { days, later } from '../../schemas/amounts.ts'
import type { PlaceLag } from '../../schemas/lag.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import { isInAir } from '../../shared/judging/thermal-role.ts'
import { fitLag, type LagUnknown, lagStep } from '../../shared/thermal/fit-lag.ts'
import type { Clock } from '../ports/clock.ts'
import type { Desk } from '../ports/desk.ts'
import type { Store } from '../ports/store.ts'
import { calibratedHistory } from './calibrated-history.ts'
import type { House } from './house.ts'
import { meanPoints } from './mean-points.ts'
import type { Pause } from './place-cost.ts'
import { say } from '../../shared/words/say.ts'

/** Long enough for a lag of three days; older days were another filling of the box. */
const lookedAt = 14

/** What is told of how a place's animals follow its air. */
export function measureLag(world: {
  readonly house: House
  readonly store: Store
  readonly clock: Clock
  readonly pause: Pause
}): Pick<Desk, 'lag'> {
  const { house, store, clock, pause } = world
  const history = calibratedHistory(store, (sensor) => {
    const { layout } = house.state()
    return layout.sensors[layout.sensorIndex.get(sensor) ?? -1]?.calibrations ?? []
  })

  return {
    async lag(id) {
      const { layout } = house.state()
      const here = layout.places.find(({ place }) => place.id === id)
      if (here === undefined)
        return { ok: false, error: 'noSuchPlace', sentence: say('There is no such place.') }
      const sensorsIn = (indexes: readonly number[] | undefined): Sensor[] =>
        (indexes ?? []).flatMap((s) => layout.sensors[s] ?? [])
      const isHeard = ({ id: sensor }: Sensor): boolean => store.span(sensor, 'temperature') !== null
      const follower = sensorsIn(here.sensors).find(
        (sensor) => (sensor.spot === 'substrate' || sensor.spot === 'water') && isHeard(sensor),
      )
      if (follower === undefined) return unknown('noProbe')
      const air = [here, ...here.around.flatMap((p) => layout.places[p] ?? [])]
        .filter(({ place }) => place.kind !== 'room' || place.id === id)
        .flatMap(({ sensors }) => sensorsIn(sensors))
        .find((sensor) => isInAir(sensor) && isHeard(sensor))
      if (air === undefined) return unknown('noAir')

      house.catchUp()
      const to = clock.now()
      const from = later(to, -days(lookedAt))
      const stretch = { from, to, every: lagStep }
      const outer = await meanPoints(history, air.id, stretch, pause)
      const inner = await meanPoints(history, follower.id, stretch, pause)
      const found = fitLag(outer, inner)
      if (!found.ok) return unknown(found.why)
      const value = { isKnown: true, ...found.fit, air: air.id, follower: follower.id } as const
      return { ok: true, value }
    },
  }
}

const unknown = (why: Extract<PlaceLag, { isKnown: false }>['why']) =>
  ({ ok: true, value: { isKnown: false, why, sentence: sentences[why] } }) as const

const sentences: Record<LagUnknown | 'noProbe' | 'noAir', string> = {
  noProbe: say('Not known yet: no probe lies in the substrate or the water here. Lay one in for two days.'),
  noAir: say('Not known yet: nothing measures the air here or around it.'),
  tooShort: say(
    'Not known yet: probe and air must be heard together for half a day at least, two days are better.',
  ),
  tooSteady: say(
    'Not known yet: the air moved too little. Turn the thermostat by 2 K for a day, while nobody lives here.',
  ),
  notByTheAir: say(
    'The probe does not follow the air: something else warms or cools it, or it lies elsewhere.',
  ),
}
