import { execFileSync } from 'node:child_process'
import { cpus } from 'node:os'

const commit = (() => {
  try {
    return execFileSync('git', ['rev-parse', '--short', 'HEAD'], { encoding: 'utf8' }).trim()
  } catch {
    return 'unknown' // a copy without its history
  }
})()

/** Prints one line for people and one JSON line to keep; gives the median. */
export function report(bench: string, unit: string, n: number, values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const at = (share: number) =>
    sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN
  const [min, median, max] = [at(0), at(0.5), at(1)]
  const round = (value: number) => (value >= 100 ? Math.round(value) : Number(value.toPrecision(3)))
  console.log(
    `${bench.padEnd(64)} ${[min, median, max].map((value) => round(value).toLocaleString('en')).join(' / ')} ${unit}`,
  )
  const machine = {
    cpu: `${cpus().length} × ${cpus()[0]?.model.trim() ?? 'unknown'}`,
    node: process.versions.node,
    commit,
  }
  console.log(
    JSON.stringify({
      bench,
      unit,
      n,
      rounds: values.length,
      min: round(min),
      median: round(median),
      max: round(max),
      raw: values.map(round),
      ...machine,
    }),
  )
  return median
}

/** The value below which `share` of all values lie. */
export function percentile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN
}
