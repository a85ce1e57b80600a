import type { Timer } from '../../daemon/ports/clock.ts'
import type { Clock } from '../../daemon/ports/clock.ts'
import { instant, later, millis } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'

/** A clock and a timer that stand still until they are told to pass. */
export function simulatedTime(start: Instant) {
  let now = start
  let uptime = millis(1_000_000)
  const waits = new Set<{ readonly at: number; readonly act: () => void }>()
  const clock: Clock = { now: () => now, uptime: () => uptime }
  const timer: Timer = {
    soon: (act) => queueMicrotask(act),
    after(ms, act) {
      const wait = { at: uptime + ms, act }
      waits.add(wait)
      return { cancel: () => void waits.delete(wait) }
    },
  }
  const first = () => [...waits].sort((one, other) => one.at - other.at)[0]
  const move = (to: number) => {
    now = later(now, to - uptime)
    uptime = millis(to)
  }
  /** Whatever is due now acts, and what follows from that without the network. */
  async function settle(): Promise<void> {
    await new Promise((resolve) => setImmediate(resolve))
    for (let wait = first(); wait !== undefined && wait.at <= uptime; wait = first()) {
      waits.delete(wait)
      wait.act()
      await new Promise((resolve) => setImmediate(resolve))
    }
  }
  return {
    clock,
    timer,
    settle,
    /** How long until something is due; null where nothing waits. */
    next: () => (waits.size === 0 ? null : Math.max(0, (first()?.at ?? 0) - uptime)),
    async pass(ms: number): Promise<void> {
      const end = uptime + ms
      await settle()
      for (let wait = first(); wait !== undefined && wait.at <= end; wait = first()) {
        move(wait.at)
        await settle()
      }
      move(end)
      await settle()
    },
    /** A process that is gone waits for nothing. */
    forget: () => waits.clear(),
    /** Sets the clock on the wall; what waits does not notice. */
    setClock: (ms: number) => {
      now = instant(Math.max(0, now + ms))
    },
  }
}

export type SimulatedTime = ReturnType<typeof simulatedTime>
