import type { Household } from '../../schemas/household.ts'
import type { SensorId } from '../../schemas/ids.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { Source } from '../../schemas/source.ts'
import { seconds } from '../../schemas/amounts.ts'

/** Channels that can be claimed in a topic; a topic in which nothing was recognised has its unnamed one. */
export function channelsOf(source: Source): string[] {
  const channels = [...new Set(source.found.map((found) => found.channel))]
  return channels.length === 0 ? [''] : channels
}

/** A sensor filled in as far as a topic tells: named after its last levels, in the only place if there is one. */
export function sensorFrom(source: Source, channel: string, household: Household): Sensor {
  const levels = source.topic.split('/').filter((level) => level !== '')
  const last = channel === '' ? (levels[levels.length - 1] ?? source.topic) : channel
  const name = last.replace(/[-_]+/g, ' ').trim()
  const isAlone = channelsOf(source).length === 1
  return {
    id: '' as SensorId,
    name: (name.charAt(0).toUpperCase() + name.slice(1)).slice(0, 60),
    place: household.places.length === 1 ? (household.places[0]?.id ?? null) : null,
    spot: 'air',
    type: 'other',
    topic: source.topic,
    channel: isAlone ? '' : channel,
    decoder: { kind: 'auto' },
    expectedEvery: seconds(60),
    calibrations: [],
  }
}
