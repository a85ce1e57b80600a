import { minutes, seconds } from '../../schemas/amounts.ts'
import type { House } from '../app/house.ts'
import type { Clock } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import type { PeopleStore } from '../ports/people.ts'
import type { Supervisor } from '../ports/supervisor.ts'
import { sparing } from './sparing.ts'

/** How often time is judged between readings; timers carry their own instants, so this only delays the telling. */
export const tickEvery = seconds(0.5)
/** A judge that has not looked at the time for so long does not watch. */
export const stalledAfter = seconds(10)
const foldEvery = seconds(30)
const sweepEvery = minutes(60)
/** How often a disk that took nothing is asked again. */
const bringBackEvery = minutes(1)

/** What is done again and again while a household runs. */
export function startRhythms(world: {
  readonly parts: {
    readonly house: House
    readonly stages: { attend(): void }
    readonly people: Pick<PeopleStore, 'endExpired'>
    readonly clock: Clock
  }
  readonly real: Clock
  readonly supervisor: Supervisor
  readonly log: Log
  /** Whether the time is judged: not while practice fills in its past. */
  readonly isJudging: () => boolean
  /** Where everything is in memory: tries the disk again, and says whether it took everything. */
  readonly bringBack: (() => Promise<boolean>) | null
  readonly onBack: () => void
}) {
  const { parts, real, supervisor, log } = world
  const { house, stages, people, clock } = parts
  let lastTick = real.uptime()
  const tick = setInterval(() => {
    lastTick = real.uptime()
    stages.attend()
    supervisor.alive()
    if (world.isJudging()) house.take({ kind: 'timePassed', at: clock.now() }, 'group')
  }, tickEvery)
  const folding = setInterval(
    sparing('fold', () => house.fold(), house, log),
    foldEvery,
  )
  const sweeping = setInterval(
    sparing('sweep', () => people.endExpired(real.now()), house, log),
    sweepEvery,
  )
  const returning =
    world.bringBack === null
      ? null
      : setInterval(() => {
          world
            .bringBack?.()
            .then((isBack) => isBack && world.onBack())
            .catch((error: unknown) => log.warn({ err: error }, 'The disk does not take everything yet.'))
        }, bringBackEvery)
  return {
    /** Whether time was judged lately. */
    isWell: () => real.uptime() - lastTick < stalledAfter,
    stop(): void {
      for (const rhythm of [tick, folding, sweeping]) clearInterval(rhythm)
      if (returning !== null) clearInterval(returning)
    },
  }
}
