import { minutes } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'
import type { Clock } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'

const EVERY: Millis = minutes(10) // one line per cause in 10 min: a device that retries each second must not fill the card
const MAX_CAUSES = 500 // causes remembered: strangers can invent names without end

/** Warns about the same cause once in 10 min; the next line says how many were kept back. */
export function warnSeldom(log: Log, clock: Clock): (cause: string, about: object, sentence: string) => void {
  const said = new Map<string, { at: number; keptBack: number }>()
  return (cause, about, sentence) => {
    const last = said.get(cause)
    const now = clock.uptime()
    if (last && now - last.at < EVERY) {
      last.keptBack += 1
      return
    }
    if (!last && said.size >= MAX_CAUSES) said.clear()
    said.set(cause, { at: now, keptBack: 0 })
    log.warn({ ...about, keptBack: last?.keptBack ?? 0 }, sentence)
  }
}
