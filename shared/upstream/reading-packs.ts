import type { SensorId } from '../../schemas/ids.ts'
import { siteReadingsTopic } from '../../schemas/own-topics.ts'
import type { Quality, Reading } from '../../schemas/reading.ts'
import { type SenmlRecord, senmlTime, valueLabels } from './senml-records.ts'

/** Two records of some 60 bytes each at most: a pack stays under 32 KB, which every broker takes. A design choice. */
export const mostInPack = 200

/** A message: where it goes, and what it holds. */
export interface Pack {
  readonly topic: string
  readonly payload: string
}

/**
 * Readings as SenML JSON, each sensor's on a topic of its own, oldest first. Base name `<site>/<sensor>/`. What is
 * believed is named as its quantity; what is not, `<quantity>/doubted`, with the reason as text under
 * `<quantity>/quality` at the same time: whoever looks at the quantity alone sees no value that is none.
 */
export function readingPacks(
  site: string,
  readings: readonly (Reading & { readonly quality: Quality })[],
): readonly Pack[] {
  const bySensor = new Map<SensorId, (typeof readings)[number][]>()
  for (const reading of readings) {
    const known = bySensor.get(reading.sensor)
    if (known === undefined) bySensor.set(reading.sensor, [reading])
    else known.push(reading)
  }
  return [...bySensor].flatMap(([sensor, all]) => {
    const sorted = all.toSorted((one, other) => one.at - other.at)
    const packs: Pack[] = []
    for (let i = 0; i < sorted.length; i += mostInPack)
      packs.push({
        topic: siteReadingsTopic(site, sensor),
        payload: JSON.stringify(recordsOf(`${site}/${sensor}/`, sorted.slice(i, i + mostInPack))),
      })
    return packs
  })
}

function recordsOf(
  bn: string,
  readings: readonly (Reading & { readonly quality: Quality })[],
): readonly SenmlRecord[] {
  const first = readings[0]?.at ?? 0
  const records = readings.flatMap(({ quantity, at, value, quality }): SenmlRecord[] => {
    const t = at === first ? {} : { t: senmlTime(at - first) }
    const labels = valueLabels(quantity, value)
    if (quality === 'good') return [{ n: quantity, ...labels, ...t }]
    return [
      { n: `${quantity}/doubted`, ...labels, ...t },
      { n: `${quantity}/quality`, vs: quality, ...t },
    ]
  })
  return records.map((record, i) => (i === 0 ? { bn, bt: senmlTime(first), ...record } : record))
}
