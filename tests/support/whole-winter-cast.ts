import { hours } from '../../schemas/amounts.ts'
import { Animal } from '../../schemas/animal.ts'
import type { SensorId } from '../../schemas/ids.ts'
import { Place } from '../../schemas/place.ts'
import { Sensor } from '../../schemas/sensor.ts'
import type { Instant } from '../../schemas/units.ts'
import { addDays, wallInstant } from '../../shared/time/wall.ts'
import type { Channel } from './whole-winter-house.ts'

/** One winter of the story. All its days are counted from the one on which the holds begin. */
export interface Winter {
  readonly name: 'north' | 'south'
  readonly zone: string
  readonly season: string
  readonly holdOn: string
}

export const north: Winter = { name: 'north', zone: 'Europe/Vienna', season: '2026/27', holdOn: '2026-11-16' }
export const south: Winter = { name: 'south', zone: 'Australia/Hobart', season: '2027', holdOn: '2027-05-17' }

/** First and last day of the story. */
export const firstDay = -80
export const lastDay = 92

export const dateOf = ({ holdOn }: Winter, day: number): string => addDays(holdOn, day)
export const atWall = (winter: Winter, day: number, wall: string): Instant =>
  wallInstant(dateOf(winter, day), wall, winter.zone)

const place = (id: string, name: string, kind: Place['kind'], parent: string | null) =>
  Place.parse({ id, name, kind, parent })

export const places: readonly Place[] = [
  place('cellar', 'Cellar', 'room', null),
  place('fridge', 'Cellar fridge', 'fridge', 'cellar'),
  place('moss-box', 'Moss box', 'box', 'fridge'),
  place('sand-box', 'Sand box', 'box', 'fridge'),
  place('reed-box', 'Reed box', 'box', 'fridge'),
  place('marsh-box', 'Marsh box', 'box', 'fridge'),
  place('cupboard', 'Cool cupboard', 'coldRoom', 'cellar'),
  place('bark-box', 'Bark box', 'box', 'cupboard'),
  place('slate-box', 'Slate box', 'box', 'cupboard'),
  place('animal-room', 'Animal room', 'room', null),
  place('tortoise-house', 'Tortoise house', 'enclosure', 'animal-room'),
  place('snake-rack', 'Snake rack', 'enclosure', 'animal-room'),
  place('toad-tank', 'Toad tank', 'enclosure', 'animal-room'),
  place('slate-tank', 'Slate tank', 'enclosure', 'animal-room'),
  place('warm-tank', 'Warm tank', 'enclosure', 'animal-room'),
  place('savanna-house', 'Savanna house', 'enclosure', 'animal-room'),
  place('leaf-tank', 'Leaf tank', 'enclosure', 'animal-room'),
]

/** One of the twelve: where it lives awake, where it lies in the cold, and what its scale shows. */
export interface Member {
  readonly animal: Animal
  readonly winterBox: string | null
  /** Lowest on the scale, g, when the hold begins. */
  readonly grams: number
  readonly scaleStep: number
  /** Of its mass in 30 days of cold, %; a gain is negative. */
  readonly losesPercent: number
  /** cm */
  readonly length: number
}

interface Given {
  readonly name: string
  readonly species: string
  readonly home: string
  readonly box?: string
  readonly grams: number
  readonly step?: number
  readonly loses?: number
  readonly length: number
  /** Years before the hold begins, and the rest of the dates as far as the keeper knows them. */
  readonly hatchedYearsAgo: number
  readonly keptMonths: number
  readonly sex?: 'female' | 'male'
  readonly hasWintered?: boolean
}

const given: readonly Given[] = [
  {
    name: 'Bramble',
    species: 'testudo-hermanni',
    home: 'tortoise-house',
    box: 'moss-box',
    grams: 1240,
    loses: 0.6,
    length: 18.4,
    hatchedYearsAgo: 11,
    keptMonths: 96,
    sex: 'female',
    hasWintered: true,
  },
  {
    name: 'Clover',
    species: 'testudo-hermanni',
    home: 'tortoise-house',
    box: 'moss-box',
    grams: 320,
    loses: 0.8,
    length: 11.8,
    hatchedYearsAgo: 3,
    keptMonths: 30,
  },
  {
    name: 'Thimble',
    species: 'testudo-hermanni',
    home: 'tortoise-house',
    grams: 180,
    length: 9.7,
    hatchedYearsAgo: 2.3,
    keptMonths: 20,
  },
  {
    name: 'Sorrel',
    species: 'testudo-horsfieldii',
    home: 'tortoise-house',
    box: 'sand-box',
    grams: 760,
    loses: 3.8,
    length: 15.5,
    hatchedYearsAgo: 9,
    keptMonths: 60,
    sex: 'male',
    hasWintered: true,
  },
  {
    name: 'Ribbon',
    species: 'thamnophis-sirtalis',
    home: 'snake-rack',
    box: 'reed-box',
    grams: 118,
    step: 0.1,
    loses: 0.2,
    length: 74,
    hatchedYearsAgo: 4,
    keptMonths: 36,
    sex: 'female',
    hasWintered: true,
  },
  {
    name: 'Marl',
    species: 'bufo-bufo',
    home: 'toad-tank',
    box: 'marsh-box',
    grams: 58,
    step: 0.1,
    loses: -1.2,
    length: 8.6,
    hatchedYearsAgo: 5,
    keptMonths: 40,
    sex: 'female',
    hasWintered: true,
  },
  {
    name: 'Loam',
    species: 'bufo-bufo',
    home: 'toad-tank',
    box: 'marsh-box',
    grams: 41,
    step: 0.1,
    loses: -0.9,
    length: 7.1,
    hatchedYearsAgo: 4,
    keptMonths: 40,
    sex: 'male',
    hasWintered: true,
  },
  {
    name: 'Maize',
    species: 'pantherophis-guttatus',
    home: 'snake-rack',
    box: 'bark-box',
    grams: 412,
    step: 1,
    loses: 0.5,
    length: 121,
    hatchedYearsAgo: 5,
    keptMonths: 8,
    sex: 'male',
    hasWintered: true,
  },
  {
    name: 'Saffron',
    species: 'eublepharis-macularius',
    home: 'slate-tank',
    box: 'slate-box',
    grams: 61,
    step: 0.1,
    loses: 0.7,
    length: 11.2,
    hatchedYearsAgo: 6,
    keptMonths: 50,
    sex: 'female',
    hasWintered: true,
  },
  {
    name: 'Amber',
    species: 'python-regius',
    home: 'warm-tank',
    grams: 1460,
    length: 118,
    hatchedYearsAgo: 8,
    keptMonths: 70,
    sex: 'female',
  },
  {
    name: 'Dune',
    species: 'centrochelys-sulcata',
    home: 'savanna-house',
    grams: 5200,
    length: 31,
    hatchedYearsAgo: 7,
    keptMonths: 66,
  },
  {
    name: 'Fern',
    species: 'correlophus-ciliatus',
    home: 'leaf-tank',
    grams: 43,
    length: 10.4,
    hatchedYearsAgo: 4,
    keptMonths: 38,
    sex: 'male',
  },
]

export function castOf(winter: Winter): readonly Member[] {
  const monthsBack = (months: number): string =>
    dateOf(winter, firstDay - Math.round(months * 30.44)).slice(0, 7)
  return given.map((one) => ({
    animal: Animal.parse({
      id: one.name.toLowerCase(),
      name: one.name,
      species: one.species,
      place: one.home,
      mode: one.box === undefined ? 'staysAwake' : 'goesDown',
      plan: [],
      draft: [],
      hatched: monthsBack(one.hatchedYearsAgo * 12),
      since: monthsBack(one.keptMonths),
      ...(one.sex !== undefined && { sex: one.sex }),
      ...(one.hasWintered !== undefined && { hasWintered: one.hasWintered }),
    }),
    winterBox: one.box ?? null,
    grams: one.grams,
    scaleStep: one.step ?? 1,
    losesPercent: one.loses ?? 0,
    length: one.length,
  }))
}

const probe = (id: string, name: string, place: string, type: Sensor['type'], spot: Sensor['spot'] = 'air') =>
  Sensor.parse({ id, name, place, type, spot, topic: `brumal/in/${id}`, expectedEvery: hours(1) })

export const sensors: readonly Sensor[] = [
  probe('cellar-air', 'Cellar, air', 'cellar', 'bme280'),
  probe('fridge-air', 'Cellar fridge, air', 'fridge', 'ds18b20'),
  probe('moss-soil', 'Moss box, soil', 'moss-box', 'sht3x', 'substrate'),
  probe('marsh-soil', 'Marsh box, soil', 'marsh-box', 'sht3x', 'substrate'),
  probe('cupboard-air', 'Cool cupboard, air', 'cupboard', 'ds18b20'),
  probe('tortoise-house-air', 'Tortoise house, air', 'tortoise-house', 'ds18b20'),
  probe('snake-rack-air', 'Snake rack, air', 'snake-rack', 'ds18b20'),
  probe('toad-tank-air', 'Toad tank, air', 'toad-tank', 'ds18b20'),
  probe('slate-tank-air', 'Slate tank, air', 'slate-tank', 'ds18b20'),
  probe('warm-tank-air', 'Warm tank, air', 'warm-tank', 'sht3x'),
  probe('savanna-house-air', 'Savanna house, air', 'savanna-house', 'ds18b20'),
  probe('leaf-tank-air', 'Leaf tank, air', 'leaf-tank', 'sht3x'),
]

/** What each channel shows: follows the animals' bands on purpose. `day`: days since noon of the day on which the holds begin. */
export function channelsOf(winter: Winter, known: ReadonlySet<string>): readonly Channel[] {
  const noon = atWall(winter, 0, '12:00')
  const channel = (
    sensor: string,
    quantity: Channel['quantity'],
    curve: (day: number) => number,
  ): Channel => ({
    sensor: sensor as SensorId,
    quantity,
    at: (instant) => Math.round(16 * (curve((instant - noon) / 86_400_000) + tremble(instant, sensor))) / 16,
  })
  const warm = (mean: number, swing: number) => (day: number) =>
    mean + swing * Math.sin(2 * Math.PI * (day + 0.5))
  const all = [
    channel('cellar-air', 'temperature', () => 11.5),
    channel('fridge-air', 'temperature', fridge),
    channel('moss-soil', 'temperature', (day) => later(fridge, day)),
    channel('moss-soil', 'humidity', () => 76),
    channel('marsh-soil', 'temperature', (day) => later(fridge, day)),
    channel('marsh-soil', 'humidity', () => 92),
    channel('cupboard-air', 'temperature', cupboard),
    channel('tortoise-house-air', 'temperature', warm(22, 4)),
    channel('snake-rack-air', 'temperature', warm(26.5, 1.5)),
    channel('corn-tank-air', 'temperature', warm(26.5, 1.5)),
    channel('toad-tank-air', 'temperature', warm(17, 1)),
    channel('slate-tank-air', 'temperature', warm(26, 2)),
    channel('warm-tank-air', 'temperature', warm(27.5, 2.5)),
    channel('warm-tank-air', 'humidity', () => 72),
    channel('savanna-house-air', 'temperature', warm(27, 4)),
    channel('leaf-tank-air', 'temperature', warm(23, 2)),
    channel('leaf-tank-air', 'humidity', () => 70),
  ]
  return all.filter(({ sensor }) => known.has(sensor))
}

/** A curve through points, straight between them. */
const through =
  (...points: readonly (readonly [day: number, value: number])[]) =>
  (day: number): number => {
    const next = points.findIndex(([at]) => at > day)
    if (next === 0) return points[0]?.[1] ?? 0
    const [from, to] = [points.at(next < 0 ? -1 : next - 1), points.at(next)]
    if (next < 0 || from === undefined || to === undefined) return points.at(-1)?.[1] ?? 0
    return from[1] + ((to[1] - from[1]) * (day - from[0])) / (to[0] - from[0])
  }

/** Days of the trial run. */
export const trialDays = { from: -76, to: -70 } as const
/** In that night the fridge's thermostat sticks for some hours. */
export const coldNight = 20

const fridge = through(
  [-76, 20],
  [-75, 5],
  [-70, 5],
  [-69, 20],
  [-24, 21],
  [0, 4.5],
  [coldNight + 0.5, 4.5],
  [coldNight + 0.6, 2.6],
  [coldNight + 0.72, 2.6],
  [coldNight + 0.85, 4.5],
)
const cupboard = through([-19, 25], [-7, 20.3], [0, 15])

/** Soil follows the air of six hours. */
const later = (curve: (day: number) => number, day: number): number =>
  [0, 1, 2, 3, 4, 5].reduce((sum, hour) => sum + curve(day - hour / 24), 0) / 6

/** A real thermometer is never quite still. Not random: the same in each run. */
const tremble = (at: number, sensor: string): number =>
  0.15 * Math.sin(at / 5.1e6 + sensor.length) + 0.1 * Math.sin(at / 1.37e7 + 2 * sensor.length)
