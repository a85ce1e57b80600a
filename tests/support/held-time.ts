import type { Clock, Timer } from '../../daemon/ports/clock.ts'
import { instant } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'

/** Time that goes on only when told: whatever waits acts in its turn, in this same call. */
export function heldTime(start: Instant) {
  let now: number = start
  let next = Infinity
  const waits = new Set<{ readonly at: number; readonly act: () => void }>()
  const inHand: (() => void)[] = []
  const clock: Clock = { now: () => instant(now), uptime: () => now as Millis }
  const timer: Timer = {
    soon: (act) => void inHand.push(act),
    after(ms, act) {
      const wait = { at: now + ms, act }
      waits.add(wait)
      next = Math.min(next, wait.at)
      return { cancel: () => void waits.delete(wait) }
    },
  }
  const finish = () => {
    while (inHand.length > 0) for (const act of inHand.splice(0)) act()
  }
  return {
    clock,
    timer,
    finish,
    /** Whatever is due on the way acts at its own instant. */
    moveTo(at: number) {
      while (next <= at) {
        now = Math.max(now, next)
        for (const wait of [...waits].filter((one) => one.at <= now)) if (waits.delete(wait)) wait.act()
        finish()
        next = Math.min(...[...waits].map((wait) => wait.at))
      }
      now = at
    },
  }
}
