import { existsSync, readFileSync } from 'node:fs'
import { instant } from '../../schemas/amounts.ts'
import type { MetricFacts } from '../../shared/metrics/facts.ts'
import type { LoopWatch } from '../host/loop-watch.ts'
import type { Clock } from '../ports/clock.ts'

/** What is measured of this process. */
export function programFacts(clock: Clock, loop: Pick<LoopWatch, 'lag'>): () => MetricFacts['program'] {
  const startedAt = instant(Math.round(clock.now() - process.uptime() * 1000))
  const version = ownVersion()
  return () => ({ startedAt, loopLag: loop.lag(), version, node: process.versions.node })
}

/** From beside the source, or from above the compiled program. */
function ownVersion(): string {
  const path = ['../../package.json', '../../../package.json']
    .map((relative) => new URL(relative, import.meta.url))
    .find((url) => existsSync(url))
  if (path === undefined) return 'unknown'
  const { version } = JSON.parse(readFileSync(path, 'utf8')) as { version?: unknown }
  return typeof version === 'string' ? version : 'unknown'
}
