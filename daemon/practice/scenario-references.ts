import { DurationText } from '../../schemas/duration-text.ts'

export interface ReferenceMistake {
  readonly path: readonly (string | number)[]
  readonly message: string
}

/**
 * What the parts of a scenario say of each other wrongly. It reads the document as it came and leaves aside what has
 * not the right shape, so that its mistakes are listed together with those of the schema.
 */
export function referenceMistakes(document: unknown): ReferenceMistake[] {
  const scenario = keysOf(document)
  const places = listOf(scenario['places'])
  const sensors = listOf(scenario['sensors'])
  const placeById = new Map(places.map((place) => [place['id'], place]))
  const sensorById = new Map(sensors.map((sensor) => [sensor['id'], sensor]))
  const found: ReferenceMistake[] = []
  const note = (path: (string | number)[], message: string): void => void found.push({ path, message })

  places.forEach((place, i) => {
    if (placeById.get(place['id']) !== place) note(['places', i, 'id'], 'another place has this id')
    const { parent } = place
    if (typeof parent !== 'string') return
    if (!placeById.has(parent)) note(['places', i, 'parent'], `there is no place ${parent}`)
    else if (isInItself(place, placeById)) note(['places', i, 'parent'], 'this place would lie inside itself')
  })
  sensors.forEach((sensor, i) => {
    if (sensorById.get(sensor['id']) !== sensor) note(['sensors', i, 'id'], 'another sensor has this id')
    const { place } = sensor
    if (typeof place === 'string' && !placeById.has(place))
      note(['sensors', i, 'place'], `there is no place ${place}`)
    const every = msOf(sensor['every']) ?? 60_000
    if ((msOf(sensor['jitter']) ?? 0) * 2 >= every)
      note(['sensors', i, 'jitter'], 'must be less than half of every')
  })
  listOf(scenario['events']).forEach((event, i) => {
    const ends = msOf(scenario['lasts'])
    const after = msOf(event['after'])
    if (ends !== null && after !== null && after >= ends)
      note(['events', i, 'after'], 'begins after the scenario ends')
    const { place, sensor } = event
    if (typeof place === 'string') {
      const there = placeById.get(place)
      if (there === undefined) note(['events', i, 'place'], `there is no place ${place}`)
      else if (!suits(event['kind'], there))
        note(['events', i, 'place'], `${place} has nothing that this can happen to`)
    }
    if (typeof sensor === 'string') {
      const it = sensorById.get(sensor)
      if (it === undefined) note(['events', i, 'sensor'], `there is no sensor ${sensor}`)
      else if (!canFail(event['kind'], it))
        note(['events', i, 'sensor'], `${sensor} does not measure what this falsifies`)
    }
  })
  return found
}

type Keys = Readonly<Record<string, unknown>>

const keysOf = (value: unknown): Keys => (typeof value === 'object' && value !== null ? (value as Keys) : {})
const listOf = (value: unknown): Keys[] => (Array.isArray(value) ? value.map(keysOf) : [])

function msOf(value: unknown): number | null {
  const read = DurationText.safeParse(value)
  return read.success ? read.data : null
}

function isInItself(place: Keys, placeById: ReadonlyMap<unknown, Keys>): boolean {
  const seen = new Set<Keys>()
  for (let at: Keys | undefined = place; at !== undefined; at = placeById.get(at['parent'])) {
    if (seen.has(at)) return true
    seen.add(at)
  }
  return false
}

function suits(kind: unknown, place: Keys): boolean {
  if (kind === 'coldSpell') return place['kind'] === 'room'
  if (kind === 'doorOpen') return place['kind'] !== 'room' && place['kind'] !== 'box'
  if (kind === 'thermostatStuck') return place['kind'] === 'fridge' || place['heater'] !== undefined
  return true
}

function canFail(kind: unknown, sensor: Keys): boolean {
  const measures: unknown[] = Array.isArray(sensor['measures']) ? sensor['measures'] : ['temperature']
  if (kind === 'spike' || kind === 'drift' || kind === 'powerOn' || kind === 'busOpen') {
    return measures.includes('temperature')
  }
  return kind !== 'batteryLow' || measures.includes('battery') || measures.includes('voltage')
}
