import { readFileSync } from 'node:fs'
import type { Settings } from '../../schemas/settings.ts'
import { calibratedHistory } from '../app/calibrated-history.ts'
import { type Forwarding, openForwarding } from '../app/forwarding.ts'
import type { House } from '../app/house.ts'
import { upstreamLink } from '../mqtt/upstream.ts'
import type { Clock, Timer } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import type { Kept } from './stores.ts'

/** Passing on to the broker elsewhere that the settings name; null, and nothing owed to it, where they name none. */
export function openUpstream(world: {
  readonly settings: Settings
  readonly kept: Pick<Kept, 'store' | 'upstream'>
  readonly house: House
  readonly clock: Clock
  /** The machine's: what goes over a network keeps its time. */
  readonly real: Clock
  readonly timer: Timer
  readonly log: Log
}): Forwarding | null {
  const { settings, kept, house, clock, real, timer, log } = world
  const { upstream } = settings
  if (upstream === undefined) {
    try {
      kept.upstream.end()
    } catch (cause) {
      log.warn({ err: cause }, 'What was owed to a broker elsewhere cannot be forgotten just now.')
    }
    return null
  }
  return openForwarding({
    site: upstream.site,
    store: kept.upstream,
    history: calibratedHistory(
      kept.store,
      (sensor) => house.state().layout.household.sensors.find(({ id }) => id === sensor)?.calibrations ?? [],
    ),
    link: upstreamLink({
      settings: upstream,
      clock: real,
      random: Math.random,
      log,
      readFile: (path) => readFileSync(path),
    }),
    house,
    clock,
    timer,
    log,
    commitEvery: settings.store.commitEvery,
  })
}
