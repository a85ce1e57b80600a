/** The parameters that fit best, how well they are known, and how far the data lie from the curve. */
export interface Fitted {
  readonly values: readonly number[]
  /** Of the parameters; its diagonal holds the squares of their standard uncertainties. */
  readonly covariance: readonly (readonly number[])[]
  /** Standard deviation of the residuals, with the parameters taken off the count. */
  readonly sd: number
  readonly count: number
}

/** Steps tried before giving up; a good start needs about ten. */
const mostSteps = 60
/** A step that lowers the sum of squares by less than this share is the end. */
const smallestGain = 1e-10
/** Damping beyond which no step downhill is left. */
const mostDamping = 1e12

/**
 * Non-linear least squares: Gauss–Newton steps damped after Marquardt (J. Soc. Ind. Appl. Math. 11 (1963) 431), with
 * derivatives by differences. `residuals` gives data minus curve, always of the same length. Parameters should be of the
 * order of one (take logarithms of time constants). The covariance is s²(JᵀJ)⁻¹, widened where neighbouring residuals
 * go together (rounded or wandering readings): by (1 + r)/(1 − r), the variance inflation of a series with
 * autocorrelation r (Bayley and Hammersley, Suppl. J. R. Stat. Soc. 8 (1946) 184). Null where the data do not settle all of
 * the parameters, or there are not more data than parameters.
 */
export function fitLeastSquares(
  residuals: (values: readonly number[]) => readonly number[],
  start: readonly number[],
): Fitted | null {
  let values = start
  let left = residuals(values)
  let squares = sumOfSquares(left)
  const size = start.length
  if (left.length <= size || !Number.isFinite(squares)) return null
  let damping = 1e-3
  for (let step = 0; step < mostSteps; step++) {
    const { normal, downhill } = normalEquations(residuals, values, left)
    let gain = 0
    while (damping < mostDamping) {
      const damped = normal.map((row, i) => row.map((v, j) => (i === j ? v * (1 + damping) + 1e-300 : v)))
      const move = solve(damped, downhill)
      const next = move === null ? values : values.map((v, i) => v + (move[i] ?? 0))
      const nextLeft = residuals(next)
      const nextSquares = sumOfSquares(nextLeft)
      if (move !== null && nextSquares <= squares) {
        gain = squares - nextSquares
        values = next
        left = nextLeft
        squares = nextSquares
        damping = Math.max(1e-12, damping / 10)
        break
      }
      damping *= 10
    }
    if (gain <= smallestGain * squares) break
  }
  const inverse = inverted(normalEquations(residuals, values, left).normal)
  if (inverse === null) return null
  const variance = squares / (left.length - size)
  const wider = variance * inflation(left, squares)
  return {
    values,
    covariance: inverse.map((row) => row.map((v) => v * wider)),
    sd: Math.sqrt(variance),
    count: left.length,
  }
}

/** Highest autocorrelation believed: 1 would say that nothing is known at all. */
const highestCorrelation = 0.98

function inflation(left: readonly number[], squares: number): number {
  if (squares === 0) return 1
  let products = 0
  for (let i = 1; i < left.length; i++) products += (left[i] as number) * (left[i - 1] as number)
  const r = Math.min(highestCorrelation, Math.max(0, products / squares))
  return (1 + r) / (1 - r)
}

type Matrix = readonly (readonly number[])[]

/** JᵀJ and Jᵀr, with J the change of the curve by each parameter. */
function normalEquations(
  residuals: (values: readonly number[]) => readonly number[],
  values: readonly number[],
  left: readonly number[],
): { readonly normal: Matrix; readonly downhill: readonly number[] } {
  const slopes = values.map((value, i) => {
    // The cube root of the machine's precision: the best step for central differences.
    const step = 6e-6 * Math.max(1, Math.abs(value))
    const [ahead, behind] = [1, -1].map((side) =>
      residuals(values.map((v, j) => (j === i ? v + side * step : v))),
    )
    return left.map((_, k) => ((behind?.[k] ?? 0) - (ahead?.[k] ?? 0)) / (2 * step))
  })
  return {
    normal: slopes.map((one) => slopes.map((other) => dot(one, other))),
    downhill: slopes.map((one) => dot(one, left)),
  }
}

function dot(one: readonly number[], other: readonly number[]): number {
  let sum = 0
  for (let i = 0; i < one.length; i++) sum += (one[i] as number) * (other[i] as number)
  return sum
}

const sumOfSquares = (values: readonly number[]): number => dot(values, values)

/** Solves a symmetric, positive definite system (Cholesky); null where it is not. */
function solve(matrix: Matrix, right: readonly number[]): readonly number[] | null {
  const n = right.length
  const lower = Array.from({ length: n }, () => new Array<number>(n).fill(0))
  const at = (m: Matrix, i: number, j: number): number => m[i]?.[j] ?? 0
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = at(matrix, i, j)
      for (let k = 0; k < j; k++) sum -= at(lower, i, k) * at(lower, j, k)
      if (i === j && !(sum > 1e-13 * at(matrix, i, i))) return null
      const row = lower[i] as number[]
      row[j] = i === j ? Math.sqrt(sum) : sum / at(lower, j, j)
    }
  }
  const x = [...right]
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) x[i] = (x[i] as number) - at(lower, i, k) * (x[k] as number)
    x[i] = (x[i] as number) / at(lower, i, i)
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i] = (x[i] as number) - at(lower, k, i) * (x[k] as number)
    x[i] = (x[i] as number) / at(lower, i, i)
  }
  return x.every(Number.isFinite) ? x : null
}

function inverted(matrix: Matrix): number[][] | null {
  const columns = matrix.map((_, i) =>
    solve(
      matrix,
      matrix.map((_, j) => (i === j ? 1 : 0)),
    ),
  )
  if (columns.some((column) => column === null)) return null
  return columns.map((column) => [...(column ?? [])])
}
