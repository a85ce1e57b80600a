import { thermalStep, type ThermalStep } from '../../daemon/practice/thermal-network.ts'

/** Heat capacities (J/K) and conductances (W/K) of a place: air, evaporator or walls, what the animal lies in, animal. */
export interface Body {
  readonly air: number
  readonly plate: number
  readonly box: number
  readonly animal: number
  readonly airPlate: number
  readonly plateOut: number
  readonly airOut: number
  readonly airBox: number
  readonly boxAnimal: number
  readonly boxGround: number
  /** Besides `airOut` while the door stands wide open. */
  readonly openDoor: number
}

/** What holds throughout a step. */
interface Holding {
  readonly coolerWatts: number
  readonly heaterWatts: number
  /** 0 shut, 1 wide open. */
  readonly open: number
  /** Of `airPlate`: less than 1 when the fan stands still. */
  readonly fan: number
  /** Of `plateOut` and `airOut`: more than 1 when a wall lets the frost in. */
  readonly wall: number
}

/** °C of air, plate, box and animal. */
export type Nodes = readonly [air: number, plate: number, box: number, animal: number]
export const airNode = 0
export const plateNode = 1
export const boxNode = 2
export const animalNode = 3

export type BodyStep = (nodes: Nodes, outside: number, ground: number, holding: Holding) => Nodes

/**
 * Exact steps of this length. The latent heat of soil and water that freeze is left out: below 0 °C a real box holds
 * out longer, but harm begins at 1 °C.
 */
export function bodySteps(body: Body, seconds: number): BodyStep {
  const made = new Map<string, Float64Array>()
  let last: { open: number; fan: number; wall: number; factors: Float64Array } | null = null
  const factorsFor = ({ open, fan, wall }: Holding): Float64Array => {
    if (last?.open === open && last.fan === fan && last.wall === wall) return last.factors
    const key = `${open} ${fan} ${wall}`
    const factors = made.get(key) ?? factorsOf(thermalStep(networkOf(body, { open, fan, wall }), seconds))
    made.set(key, factors)
    last = { open, fan, wall, factors }
    return factors
  }
  return (nodes, outside, ground, holding) => {
    const f = factorsFor(holding)
    return [
      rowOf(f, 0, nodes, outside, ground, holding),
      rowOf(f, inputs, nodes, outside, ground, holding),
      rowOf(f, 2 * inputs, nodes, outside, ground, holding),
      rowOf(f, 3 * inputs, nodes, outside, ground, holding),
    ]
  }
}

/** Unrolled: a thousand winters take a hundred million of these. */
function rowOf(
  f: Float64Array,
  row: number,
  nodes: Nodes,
  outside: number,
  ground: number,
  { heaterWatts, coolerWatts }: Holding,
): number {
  return (
    (f[row] as number) * nodes[airNode] +
    (f[row + 1] as number) * nodes[plateNode] +
    (f[row + 2] as number) * nodes[boxNode] +
    (f[row + 3] as number) * nodes[animalNode] +
    (f[row + 4] as number) * outside +
    (f[row + 5] as number) * ground +
    (f[row + 6] as number) * heaterWatts -
    (f[row + 7] as number) * coolerWatts
  )
}

/** Nodes, outside, ground, watts into air, watts into plate. */
const inputs = 8

/** A step is linear in what goes in: what each unit of it does is all there is to know. */
function factorsOf(step: ThermalStep): Float64Array {
  const factors = new Float64Array(4 * inputs)
  for (let i = 0; i < inputs; i++) {
    const unit = Array.from({ length: inputs }, (_, k) => (k === i ? 1 : 0))
    const after = step(unit.slice(0, 4), unit.slice(4, 6), [...unit.slice(6, 8), 0, 0])
    after.forEach((value, row) => (factors[row * inputs + i] = value))
  }
  return factors
}

const networkOf = (body: Body, { open, fan, wall }: Pick<Holding, 'open' | 'fan' | 'wall'>) => ({
  capacities: [body.air, body.plate, body.box, body.animal],
  fixed: 2,
  links: [
    link(airNode, plateNode, body.airPlate * fan),
    link(plateNode, outsideNode, body.plateOut * wall),
    link(airNode, outsideNode, body.airOut * wall + body.openDoor * open),
    link(airNode, boxNode, body.airBox),
    link(boxNode, animalNode, body.boxAnimal),
    link(boxNode, groundNode, body.boxGround),
  ],
})

const outsideNode = 4
const groundNode = 5

const link = (one: number, other: number, conductance: number) => ({
  between: [one, other] as const,
  conductance,
})

/** An evaporator below this takes up no more heat (plausible for a domestic compressor, no source). */
const coldestPlate = -32
const fullPowerFrom = -8

/** How much of its power a cooler has with its evaporator at `plate` °C. */
export const coolerShare = (plate: number): number =>
  Math.max(0, Math.min(1, (plate - coldestPlate) / (fullPowerFrom - coldestPlate)))
