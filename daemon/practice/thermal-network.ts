/** Heat flows between two nodes in proportion to their difference. */
export interface Link {
  readonly between: readonly [number, number]
  /** W/K, not negative. */
  readonly conductance: number
}

/**
 * Lumped capacitances joined by conductances. Nodes 0 to n−1 have a heat capacity; the `fixed` nodes after them are
 * held at a temperature from outside.
 */
export interface ThermalNetwork {
  /** J/K, each more than 0. */
  readonly capacities: readonly number[]
  readonly fixed: number
  readonly links: readonly Link[]
}

/** Temperatures of the nodes one step later, from theirs and the fixed nodes' (°C) and the heat put into each (W). */
export type ThermalStep = (
  celsius: readonly number[],
  fixedCelsius: readonly number[],
  watts: readonly number[],
) => number[]

/**
 * The exact solution of C dT/dt = ΣK(T′−T) + P over one step of this length, with the fixed temperatures and the heat
 * held through it: the matrix exponential of the augmented system, so the step's length adds no error.
 */
export function thermalStep(network: ThermalNetwork, seconds: number): ThermalStep {
  const n = network.capacities.length
  const inputs = network.fixed + n
  const solved = exponential(rates(network), seconds)
  return (celsius, fixedCelsius, watts) => {
    const after = new Array<number>(n)
    for (let i = 0; i < n; i++) {
      const row = solved[i] as Float64Array
      let sum = 0
      for (let j = 0; j < n; j++) sum += (row[j] as number) * (celsius[j] as number)
      for (let j = 0; j < network.fixed; j++) sum += (row[n + j] as number) * (fixedCelsius[j] as number)
      for (let j = network.fixed; j < inputs; j++) {
        sum += (row[n + j] as number) * (watts[j - network.fixed] as number)
      }
      after[i] = sum
    }
    return after
  }
}

type Matrix = Float64Array[]

/** d/dt of [nodes, fixed, watts]; the last two do not change by themselves. */
function rates({ capacities, fixed, links }: ThermalNetwork): Matrix {
  const n = capacities.length
  const matrix = zeros(n + fixed + n)
  const add = (row: number, column: number, by: number): void => {
    const values = matrix[row] as Float64Array
    values[column] = (values[column] as number) + by
  }
  const flow = (to: number, from: number, conductance: number): void => {
    const capacity = capacities[to]
    if (capacity === undefined) return // a fixed node takes heat without warming
    add(to, from, conductance / capacity)
    add(to, to, -conductance / capacity)
  }
  for (const { between, conductance } of links) {
    flow(between[0], between[1], conductance)
    flow(between[1], between[0], conductance)
  }
  capacities.forEach((capacity, i) => add(i, n + fixed + i, 1 / capacity))
  return matrix
}

/** Terms of the series after scaling to a norm of at most 1/4: the first one left out is below 1e-17. */
const TERMS = 12

/** e^(matrix · seconds) by scaling and squaring. */
function exponential(matrix: Matrix, seconds: number): Matrix {
  const norm =
    Math.max(...matrix.map((row) => row.reduce((sum, value) => sum + Math.abs(value), 0))) * seconds
  const squarings = Math.max(0, Math.ceil(Math.log2(norm / 0.25)))
  const scaled = matrix.map((row) => row.map((value) => (value * seconds) / 2 ** squarings))
  let result = identity(matrix.length)
  for (let k = TERMS; k >= 1; k--) {
    result = product(scaled, result).map((row, i) => {
      const next = row.map((value) => value / k)
      next[i] = (next[i] as number) + 1
      return next
    })
  }
  for (let k = 0; k < squarings; k++) result = product(result, result)
  return result
}

function product(a: Matrix, b: Matrix): Matrix {
  const out = zeros(a.length)
  for (let i = 0; i < a.length; i++) {
    const row = out[i] as Float64Array
    const left = a[i] as Float64Array
    for (let k = 0; k < a.length; k++) {
      const factor = left[k] as number
      if (factor === 0) continue
      const right = b[k] as Float64Array
      for (let j = 0; j < a.length; j++) row[j] = (row[j] as number) + factor * (right[j] as number)
    }
  }
  return out
}

const zeros = (size: number): Matrix => Array.from({ length: size }, () => new Float64Array(size))

const identity = (size: number): Matrix =>
  zeros(size).map((row, i) => {
    row[i] = 1
    return row
  })
