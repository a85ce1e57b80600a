/** `npm run bench`, or `npm run bench -- --only ingest,latency,queries --quick`. All on loopback; cleans up after itself. */
import { fork } from 'node:child_process'
import { once } from 'node:events'
import { mkdtempSync, rmSync } from 'node:fs'
import { loadavg, tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { mosquittoMissing } from '../support/mosquitto.ts'
import { ingestEmbedded, ingestExternal } from './ingest.ts'
import { alarmLatency } from './latency.ts'
import { ask, fill } from './queries.ts'

const { values } = parseArgs({
  options: {
    only: { type: 'string', default: 'ingest,latency,queries' },
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

if (values.help) console.log('npm run bench -- [--only ingest,latency,queries] [--quick]')
else if (values.part === 'fill') fill(folder, readings)
else if (values.part === 'ask') ask(folder, readings, rounds)
else await all()

async function all(): Promise<void> {
  console.log(`min / median / max; load before: ${loadavg()[0]?.toFixed(2)}; ${new Date().toISOString()}`)
  if (only.includes('ingest')) {
    if (mosquittoMissing === null) await ingestExternal(quick ? 20_000 : 50_000, rounds)
    else console.log(`ingest on Mosquitto left out: ${mosquittoMissing}`)
    await ingestEmbedded(quick ? 30_000 : 100_000, rounds)
  }
  if (only.includes('latency')) await alarmLatency(quick ? 200 : 500)
  if (only.includes('queries')) {
    const made = mkdtempSync(join(tmpdir(), 'brumal-bench-'))
    try {
      for (const part of ['fill', 'ask'])
        await run(['--part', part, '--folder', made, ...(quick ? ['--quick'] : [])])
    } finally {
      rmSync(made, { recursive: true, force: true })
    }
  }
}

async function run(args: readonly string[]): Promise<void> {
  const child = fork(new URL(import.meta.url).pathname, args, { execArgv: ['--import', 'tsx'] })
  const [code] = (await once(child, 'exit')) as [number]
  if (code !== 0) throw new Error(`${args.join(' ')} ended with ${code}`)
}
