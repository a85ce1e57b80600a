import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { brumal } from './brumal.ts'

/** `[seconds since the start, value]`. */
export type Sample = readonly [s: number, value: number]

export interface Replayed {
  readonly s: number
  readonly limit: string
  readonly event: string
  readonly value: number
}

/** Series start here unless a test says otherwise: a Unix instant of no meaning. */
export const start = Date.parse('2026-01-01T00:00:00Z')

/** Runs the built `brumal replay` on samples of one sensor and gives its lines with times as seconds since `from`. */
export async function replay(
  rules: string,
  samples: readonly Sample[],
  { quantity = 'temperature', from = start }: { quantity?: string; from?: number } = {},
): Promise<readonly Replayed[]> {
  const rows = samples.map(
    ([s, value]) => `${new Date(from + s * 1000).toISOString()},probe,${quantity},${value}`,
  )
  const text = await replayText(rules, ['at,sensor,quantity,value', ...rows].join('\r\n'))
  return text.map(({ at, ...line }) => ({ s: (Date.parse(at) - from) / 1000, ...line }))
}

export async function replayText(
  rules: string,
  csv: string,
): Promise<readonly { at: string; limit: string; event: string; value: number }[]> {
  const folder = await mkdtemp(join(tmpdir(), 'brumal-replay-'))
  try {
    await writeFile(join(folder, 'rules.yaml'), rules)
    await writeFile(join(folder, 'readings.csv'), csv)
    const ran = await brumal([
      'replay',
      '--rules',
      join(folder, 'rules.yaml'),
      '--readings',
      join(folder, 'readings.csv'),
    ])
    if (ran.code !== 0) throw new Error(`replay ended with ${ran.code}: ${ran.err}`)
    return ran.out
      .split('\n')
      .filter((line) => line !== '')
      .map((line) => JSON.parse(line) as { at: string; limit: string; event: string; value: number })
  } finally {
    await rm(folder, { recursive: true, force: true })
  }
}

/** One sample every `everyS` seconds from `fromS` to `toS`, both included. */
export function constant(value: number, fromS: number, toS: number, everyS = 600): Sample[] {
  const samples: Sample[] = []
  for (let s = fromS; s <= toS; s += everyS) samples.push([s, value])
  return samples
}
