/**
 * Time constants of air and load in surroundings of one temperature, ms: C_air dTa/dt = UA (T∞ − Ta) + K (Tp − Ta),
 * C_load dTp/dt = K (Ta − Tp).
 */
export interface TwoNodes {
  /** C_air / UA: how fast the air follows the room through the walls. */
  readonly outside: number
  /** C_air / K: how fast the air follows the load. */
  readonly inside: number
  /** C_load / K: how fast the load follows the air. */
  readonly load: number
}

/** One node's way: towards + slow e^(−t·slowRate) + fast e^(−t·fastRate); rates per ms. */
export interface Decay {
  readonly towards: number
  readonly slow: number
  readonly slowRate: number
  readonly fast: number
  readonly fastRate: number
}

/** The two rates of decay, per ms, slow first. Both are real and positive whatever the constants. */
export function decayRates({ outside, inside, load }: TwoNodes): readonly [slow: number, fast: number] {
  const [a, b, c] = [1 / outside, 1 / inside, 1 / load]
  const sum = a + b + c
  const root = Math.sqrt((a + b - c) ** 2 + 4 * b * c)
  // Of the two forms of the small root, the one that does not subtract.
  return [(2 * a * c) / (sum + root), (sum + root) / 2]
}

/** The exact eigen-solution from present temperatures, °C, in surroundings held at `towards`. */
export function twoNodeDecay(
  nodes: TwoNodes,
  air: number,
  load: number,
  towards: number,
): { readonly air: Decay; readonly load: Decay } {
  const [slowRate, fastRate] = decayRates(nodes)
  const [overAir, overLoad] = [air - towards, load - towards]
  const part = (over: number, change: number): Decay => {
    const slow = (change + fastRate * over) / (fastRate - slowRate)
    return { towards, slow, slowRate, fast: over - slow, fastRate }
  }
  const exchange = overLoad - overAir
  return {
    air: part(overAir, exchange / nodes.inside - overAir / nodes.outside),
    load: part(overLoad, -exchange / nodes.load),
  }
}

/** A single lump's way (Newton's law of cooling), as a decay without its fast part. */
export const oneNodeDecay = (tau: number, celsius: number, towards: number): Decay => ({
  towards,
  slow: celsius - towards,
  slowRate: 1 / tau,
  fast: 0,
  fastRate: 1 / tau,
})

/** Temperature after `ms`, °C. */
export const decayAt = ({ towards, slow, slowRate, fast, fastRate }: Decay, ms: number): number =>
  towards + slow * Math.exp(-slowRate * ms) + fast * Math.exp(-fastRate * ms)
