/** A stream of chance that its seed alone decides. */
export interface Random {
  /** Even over 0 (included) to 1 (left out). */
  uniform(): number
  /** Normal with mean 0 and standard deviation 1. */
  normal(): number
  /** A stream of its own, decided by this one's seed and the name; what is drawn here does not move it. */
  fork(name: string): Random
}

/** The seed is taken modulo 2³². */
export function seededRandom(seed: number): Random {
  const next = xoshiro128(spread(seed >>> 0))
  const uniform = (): number => ((next() >>> 5) * 67_108_864 + (next() >>> 6)) / 9_007_199_254_740_992
  return {
    uniform,
    normal: () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()),
    fork: (name) => seededRandom(hashed(name, seed >>> 0)),
  }
}

/** xoshiro128** (Blackman and Vigna 2018, prng.di.unimi.it): the next 32 bits; not all of the state may be 0. */
export function xoshiro128(state: readonly [number, number, number, number]): () => number {
  let [a, b, c, d] = state
  return () => {
    const result = Math.imul(rotated(Math.imul(b, 5), 7), 9) >>> 0
    const t = b << 9
    c ^= a
    d ^= b
    b ^= c
    a ^= d
    c ^= t
    d = rotated(d, 11)
    return result
  }
}

const rotated = (x: number, by: number): number => (x << by) | (x >>> (32 - by))

/** splitmix32: its four outputs differ, so the state is never all 0. */
function spread(seed: number): [number, number, number, number] {
  let x = seed
  const next = (): number => {
    x = (x + 0x9e3779b9) | 0
    let z = Math.imul(x ^ (x >>> 16), 0x21f0aaad)
    z = Math.imul(z ^ (z >>> 15), 0x735a2d97)
    return z ^ (z >>> 15)
  }
  return [next(), next(), next(), next()]
}

/** FNV-1a over the name's code units, begun from the seed. */
function hashed(name: string, seed: number): number {
  let hash = Math.imul(seed ^ 0x811c9dc5, 0x01000193)
  for (let i = 0; i < name.length; i++) hash = Math.imul(hash ^ name.charCodeAt(i), 0x01000193)
  return hash >>> 0
}
