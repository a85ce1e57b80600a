import type { Settings } from '../schemas/settings.ts'
import { machineClock } from './host/clock.ts'
import { openLog } from './host/log.ts'
import { systemdSupervisor } from './host/supervisor.ts'
import { openKept } from './main/kept.ts'
import { type Next, runHouse } from './main/run-house.ts'
import { lockFolder } from './sqlite/lock-folder.ts'
import { abortsByItself } from './sqlite/not-compiled.ts'

/** Runs until told to stop; gives the exit code. The one place that knows both the core and the world. */
export async function runDaemon({
  settings,
  practice,
}: {
  settings: Settings
  practice: boolean
}): Promise<number> {
  const log = openLog(settings.logLevel, process.stdout)
  const real = machineClock()
  const supervisor = systemdSupervisor({ env: process.env, clock: real, log })
  const fault = abortsByItself()
  if (fault !== null) log.error({ node: process.version }, fault)
  let lock = lockFolder(settings.data)
  let kept = openKept(settings, real.now(), log)
  /** A database that is damaged again after it was mended has a disk that is failing: once is enough. */
  let mayMend = true
  const stopped = new Promise<Next>((resolve) => {
    for (const signal of ['SIGTERM', 'SIGINT'] as const) process.once(signal, () => resolve('stop'))
  })
  try {
    for (let next: Next = practice ? 'practice' : 'real'; next !== 'stop'; ) {
      if (next === 'reopen' || next === 'mend') {
        if (next === 'mend') mayMend = false
        kept.close()
        if (!lock.isHeld) lock = lockFolder(settings.data)
        kept = openKept(settings, real.now(), log)
      }
      next = await runHouse({
        settings,
        log,
        real,
        supervisor,
        kept,
        stopped,
        mayMend,
        isPractice: next === 'practice',
      })
    }
  } finally {
    kept.close()
    lock.release()
  }
  return 0
}
