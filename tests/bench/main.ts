/**
 * `npm run bench`, or `npm run bench -- --only ingest,latency,queries,restart,analysis,writes,bytes,page --quick`; `--only tuning` tries
 * other constants. All on loopback; cleans up after itself.
 */
import { fork } from 'node:child_process'
import { once } from 'node:events'
import { mkdtempSync, rmSync } from 'node:fs'
import { loadavg, tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { mosquittoMissing } from '../support/mosquitto.ts'
import { analysis } from './analysis.ts'
import type { Round } from './analysis-size.ts'
import { ingestEmbedded, ingestExternal } from './ingest.ts'
import { alarmLatency } from './latency.ts'
import { ask, fill } from './queries.ts'
import { page } from './page.ts'
import { die, restart } from './restart.ts'
import { bytes, tuning, writes } from './writes.ts'

const usual = 'ingest,latency,queries,restart,analysis,writes,bytes,page'

const { values } = parseArgs({
  options: {
    only: { type: 'string', default: usual },
    quick: { type: 'boolean', default: false },
    help: { type: 'boolean' },
    /** Within: one half of the queries, in a process of its own so that its memory is its own. */
    part: { type: 'string' },
    folder: { type: 'string', default: '' },
  },
})
const { quick, folder } = values
const only = values.only.split(',')
const rounds = quick ? 3 : 5
const readings = quick ? 1_000_000 : 10_368_000

if (values.help) console.log(`npm run bench -- [--only ${usual},tuning] [--quick]`)
else if (values.part === 'fill') fill(folder, readings)
else if (values.part === 'ask') ask(folder, readings, rounds)
else if (values.part === 'die') die(folder)
else if (values.part === 'analysis') process.send?.((await import('./analysis-round.ts')).analysisRound())
else await all()

async function all(): Promise<void> {
  console.log(`min / median / max; load before: ${loadavg()[0]?.toFixed(2)}; ${new Date().toISOString()}`)
  if (only.includes('ingest')) {
    if (mosquittoMissing === null) await ingestExternal(quick ? 20_000 : 50_000, rounds)
    else console.log(`ingest on Mosquitto left out: ${mosquittoMissing}`)
    await ingestEmbedded(quick ? 30_000 : 100_000, rounds)
  }
  if (only.includes('latency')) await alarmLatency(quick ? 200 : 500)
  if (only.includes('queries') || only.includes('restart')) {
    const made = mkdtempSync(join(tmpdir(), 'brumal-bench-'))
    try {
      const part = (name: string) => run(['--part', name, '--folder', made, ...(quick ? ['--quick'] : [])])
      await part('fill')
      if (only.includes('queries')) await part('ask')
      if (only.includes('restart')) await restart(made, readings, rounds)
    } finally {
      rmSync(made, { recursive: true, force: true })
    }
  }
  if (only.includes('analysis')) await analysis(rounds, () => heard<Round>(['--part', 'analysis']))
  // At least some hours: part of what is written comes once an hour.
  if (only.includes('writes')) await writes(quick ? 6 : 24)
  if (only.includes('bytes')) await bytes(quick ? 6 : 24)
  if (only.includes('page')) await page(rounds)
  if (only.includes('tuning')) await tuning(quick ? 6 : 24)
}

/** What the process says, once it has ended well. */
async function heard<T>(args: readonly string[]): Promise<T> {
  let said: T | null = null
  await run(args, (one) => {
    said = one as T
  })
  if (said === null) throw new Error(`${args.join(' ')} said nothing`)
  return said
}

async function run(args: readonly string[], onSaid: (one: unknown) => void = () => {}): Promise<void> {
  const child = fork(new URL(import.meta.url).pathname, args, { execArgv: ['--import', 'tsx'] })
  child.on('message', onSaid)
  const [code] = (await once(child, 'exit')) as [number]
  if (code !== 0) throw new Error(`${args.join(' ')} ended with ${code}`)
}
