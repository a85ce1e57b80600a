import type { Random } from '../../daemon/practice/random.ts'
import { days, hours, minutes, seconds } from '../../schemas/amounts.ts'
import type { Body } from './body.ts'
import { drawBody, drawCooler, drawHeater, drawSurroundings } from './draw-place.ts'
import { between, chance, limitedNormal, pick } from './draw.ts'
import { type Family, isSensorFamily, sortsOf } from './families.ts'
import type { Surroundings } from './outside.ts'
import { type Heater, isCooled, type Sort, type Switch } from './sort.ts'

export type Species = 'testudo-hermanni' | 'thamnophis-sirtalis' | 'bufo-bufo' | 'python-regius'

export interface Probe {
  readonly id: string
  readonly node: 'air' | 'box' | 'outside'
  readonly type: 'ds18b20' | 'sht3x'
  readonly step: number
  readonly noise: number
  readonly offset: number
  readonly driftPerDay: number
  /** Its own time constant, ms. */
  readonly lag: number
  readonly isOnMains: boolean
}

/** One drawn house: everything that is the same all winter. */
export interface Setting {
  readonly sort: Sort
  readonly species: Species
  readonly start: number
  readonly stepMs: number
  readonly body: Body
  readonly surroundings: Surroundings
  readonly ground: number
  readonly cooler: Switch | null
  readonly heater: Heater | null
  /** Every so often the cooler rests, to defrost. */
  readonly defrost: { readonly every: number; readonly lasts: number } | null
  readonly probes: readonly Probe[]
  /** A switch that reads one of the probes, and what it does when that says nothing; else it has its own sensor. */
  readonly readsProbe: { readonly id: string; readonly onLoss: 'hold' | 'off' } | null
}

export function drawSetting(family: Family, random: Random): Setting {
  const sort = pick(random, sortsOf(family))
  const species: Species =
    sort === 'enclosure'
      ? 'python-regius'
      : pick(random, ['testudo-hermanni', 'testudo-hermanni', 'thamnophis-sirtalis', 'bufo-bufo'])
  const hemisphere = chance(random, 0.75) ? 'north' : 'south'
  const first = hemisphere === 'north' ? Date.UTC(2026, 10, 20) : Date.UTC(2026, 4, 20)
  const start =
    first + Math.floor(between(random, 0, 60)) * days(1) + Math.floor(between(random, 0, 24)) * hours(1)
  const pace = random.uniform()
  const stepMs = seconds(pace < 0.05 ? 10 : pace < 0.2 ? 30 : 60)
  const surroundings = drawSurroundings(sort, hemisphere, family === 'mains-cut-frost' ? 3 : 0, random)
  const body = drawBody(sort, random)
  // The common toad is held at 3 to 4 °C, tortoises and garter snakes at 5 °C.
  const aim = species === 'bufo-bufo' ? between(random, 3.4, 4.2) : between(random, 4.6, 5.4)
  const probes = drawProbes(family, random)
  const mayRead = sort !== 'garageFridge' && probes.some(({ node }) => node === 'air')
  return {
    sort,
    species,
    start,
    stepMs,
    body,
    surroundings,
    ground: between(random, 5.5, 7.5),
    cooler: drawCooler(sort, aim, body, random),
    heater: drawHeater(sort, aim, body, surroundings, random),
    defrost:
      isCooled(sort) && chance(random, 0.4)
        ? { every: hours(between(random, 6, 12)), lasts: minutes(between(random, 12, 25)) }
        : null,
    probes,
    readsProbe:
      mayRead && chance(random, isSensorFamily(family) ? 0.5 : 0.15)
        ? { id: 'air', onLoss: pick(random, ['hold', 'off']) }
        : null,
  }
}

function drawProbes(family: Family, random: Random): readonly Probe[] {
  const where = random.uniform()
  const probes: Probe[] = []
  const isOnMains = chance(random, 0.3)
  if (where < 0.85 || isSensorFamily(family)) probes.push(drawProbe('air', isOnMains, random))
  if (where < 0.7 || where >= 0.85) probes.push(drawProbe('box', isOnMains, random))
  if (chance(random, 0.3)) probes.push(drawProbe('outside', isOnMains, random))
  return probes
}

/** Data sheets, values from memory: DS18B20 1/16 K and ±0.5 K; SHT3x 0.01 K and ±0.3 K. */
function drawProbe(node: Probe['node'], isOnMains: boolean, random: Random): Probe {
  const type = chance(random, 0.6) ? 'ds18b20' : 'sht3x'
  const isFine = type === 'sht3x'
  return {
    id: node,
    node,
    type,
    step: isFine ? 0.01 : 0.0625,
    noise: isFine ? between(random, 0.02, 0.05) : between(random, 0.02, 0.06),
    offset: isFine ? limitedNormal(random, 0.12, 0.3) : limitedNormal(random, 0.2, 0.5),
    driftPerDay: 0.002 * random.normal(),
    lag: minutes(between(random, 0.5, 4)),
    isOnMains,
  }
}
