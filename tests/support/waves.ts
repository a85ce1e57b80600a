import type { Daemon } from './daemon.ts'
import { until } from './until.ts'

/** One reading that a test made; its sensor and its instant name it. */
export interface Made {
  readonly sensor: string
  /** Unix ms; no two of one sensor are the same. */
  readonly at: number
  readonly value: number
}

export const waveSensors = ['probe-0', 'probe-1', 'probe-2', 'probe-3'] as const
export const topicOfWave = (sensor: string): string => `brumal/in/${sensor}`
export const nameOf = ({ sensor, at }: Pick<Made, 'sensor' | 'at'>): string => `${sensor} ${at}`

const period = 16_000
const coldest = 4
const warmest = 11

/**
 * Up and down between 4 and 11 °C in 16 s, each sensor a quarter later than the one before and cold until then. It is
 * beyond 8 °C for 6.8 s and below 7.5 for 8 s at a stretch, so longer than either delay: whether and when an alarm
 * comes then hangs on the readings alone, and not on how far a daemon that was away has read.
 */
function waveAt(sensor: string, sinceBegun: number): number {
  const before = ((waveSensors as readonly string[]).indexOf(sensor) / waveSensors.length) * period
  const turn = Math.max(0, sinceBegun - before) / period
  const share = 1 - Math.abs(1 - ((2 * turn) % 2))
  return Math.round((coldest + (warmest - coldest) * share) * 1000) / 1000
}

/** Four places with a probe each: `high` with both delays, `highCritical` without any. */
export async function wavyHouse(daemon: Daemon): Promise<void> {
  for (const sensor of waveSensors) {
    const place = sensor.replace('probe', 'place')
    await daemon.call('PUT', `/api/places/${place}`, {
      id: place,
      name: `Place ${sensor}`,
      kind: 'enclosure',
      ownLimits: [
        { quantity: 'temperature', limit: 'high', value: 8, for: 1500, clearFor: 1000, deadband: 0.5 },
        { quantity: 'temperature', limit: 'highCritical', value: 10, for: 0, clearFor: 0, deadband: 0.5 },
      ],
    })
    await daemon.call('PUT', `/api/sensors/${sensor}`, {
      id: sensor,
      name: sensor,
      place,
      type: 'pt1000',
      topic: topicOfWave(sensor),
      expectedEvery: 60_000,
    })
  }
}

export interface Waves {
  /** What each sensor has measured so far, oldest first; grows. */
  readonly made: ReadonlyMap<string, readonly Made[]>
  all(): readonly Made[]
  stop(): void
}

/** Sensors that measure from now on: each every 10 ms, whether anybody listens or not. `onMade` follows each round. */
export function makeWaves(onMade: () => void): Waves {
  const made = new Map<string, Made[]>(waveSensors.map((sensor) => [sensor, []]))
  const began = Date.now()
  const round = setInterval(() => {
    for (const [sensor, list] of made) {
      const at = Math.max(Date.now(), (list.at(-1)?.at ?? 0) + 1)
      list.push({ sensor, at, value: waveAt(sensor, at - began) })
    }
    onMade()
  }, 10)
  return { made, all: () => [...made.values()].flat(), stop: () => clearInterval(round) }
}

/** The newest reading of each sensor has been judged, and so all before it: a broker keeps the order of a topic. */
export async function untilCaughtUp(daemon: Daemon, waves: Waves): Promise<void> {
  const newest = waveSensors.map((sensor) => waves.made.get(sensor)?.at(-1)?.at)
  await until(
    async () => {
      const values = (await daemon.tonight()).places.flatMap((place) => place.values)
      return waveSensors.every((sensor, i) =>
        values.some((value) => value.sensor === sensor && value.at === newest[i]),
      )
    },
    'the newest readings to be judged',
    60_000,
  )
}
