import { type ChildProcess, fork } from 'node:child_process'
import { once } from 'node:events'
import { startMosquitto } from '../support/mosquitto.ts'
import { report } from './report.ts'

const script = (name: string) => new URL(name, import.meta.url).pathname
const start = (name: string, args: readonly string[]): ChildProcess =>
  fork(script(name), args, { execArgv: ['--import', 'tsx'] })

interface Said {
  readonly ready?: boolean
  readonly port?: number
  readonly done?: number
}

async function says(child: ChildProcess, what: 'ready' | 'done'): Promise<Said> {
  const deadline = AbortSignal.timeout(120_000)
  for (;;) {
    const [said] = (await once(child, 'message', { signal: deadline })) as [Said]
    if (said[what] !== undefined) return said
  }
}

async function end(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null) return
  child.kill('SIGTERM')
  await once(child, 'exit')
}

/** Bare subscriber and whole path in turn on one Mosquitto, the order turned round each round. Readings per second. */
export async function ingestExternal(n: number, rounds: number): Promise<void> {
  // As the README advises, and a queue that holds the whole run, so that the broker drops nothing.
  const config = ['max_queued_messages 200000', 'max_inflight_messages 100']
  const rates: Record<'bare' | 'external', number[]> = { bare: [], external: [] }
  for (let round = 0; round < rounds; round++)
    for (const kind of round % 2 === 0 ? (['bare', 'external'] as const) : (['external', 'bare'] as const)) {
      const broker = await startMosquitto({ config })
      const subject = start('subject.ts', [kind, broker.url, String(n)])
      await says(subject, 'ready')
      const finished = says(subject, 'done')
      const publisher = start('publisher.ts', [broker.url, String(n)])
      const { done } = await finished
      rates[kind].push((n / (done ?? Number.NaN)) * 1000)
      await Promise.all([end(subject), end(publisher)])
      await broker.stop()
    }
  const bare = report('ingest: bare mqtt.js subscriber on Mosquitto', 'readings/s', n, rates.bare)
  const ours = report('ingest: whole path on Mosquitto', 'readings/s', n, rates.external)
  console.log(`   ratio of the medians ${(ours / bare).toFixed(2)} (aim 0.80)`)
}

/** Into the embedded broker, until the publisher holds every acknowledgement: each follows its commit. */
export async function ingestEmbedded(n: number, rounds: number): Promise<void> {
  const rates: number[] = []
  for (let round = 0; round < rounds; round++) {
    const subject = start('subject.ts', ['embedded', '-', String(n)])
    const { port } = await says(subject, 'ready')
    const publisher = start('publisher.ts', [`mqtt://127.0.0.1:${port}`, String(n), '2'])
    const { done } = await says(publisher, 'done')
    rates.push((n / (done ?? Number.NaN)) * 1000)
    await Promise.all([end(subject), end(publisher)])
  }
  report('ingest: whole path into the embedded broker (aim 30,000)', 'readings/s', n, rates)
}
