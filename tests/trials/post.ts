import type { Random } from '../../daemon/practice/random.ts'
import { minutes } from '../../schemas/amounts.ts'
import type { ProbeLife } from './everyday.ts'
import type { Probe } from './setting.ts'
import { covering } from './span.ts'

/** A reading on its way. */
export interface Delivery {
  readonly probe: string
  readonly at: number
  readonly value: number
  readonly heardAt: number
}

/** Single messages lost, and heard twice, as parts of all (plausible, no source). */
const dropOuts = 0.01
const duplicates = 0.005
/** Mean time between two of the element's fault values: 85.0, −127 or exactly 0.0 for a DS18B20. */
const codeEvery = minutes(14 * 24 * 60)

/** The radio between one probe and the daemon. */
export function post(probe: Probe, life: ProbeLife, stepMs: number, random: Random) {
  const lostAt = covering(life.lost)
  const lateAt = covering(life.late)
  let wasMute = false
  return (at: number, shown: number, isMute: boolean): readonly Delivery[] => {
    // Drawn each time, so that a fault does not move what is drawn after it.
    const luck = random.uniform()
    const oddity = random.uniform()
    const restarts = wasMute && !isMute
    wasMute = isMute
    const late = lateAt(at)
    const lost = lostAt(at)
    if (isMute || lost !== null || luck < dropOuts) return []
    const value = probe.type !== 'ds18b20' ? shown : restarts ? 85 : (oddCode(oddity, stepMs) ?? shown)
    const sent = { probe: probe.id, at, value, heardAt: late === null ? at + 400 : Math.ceil(late.to) + 400 }
    return luck > 1 - duplicates ? [sent, sent] : [sent]
  }
}

function oddCode(oddity: number, stepMs: number): number | null {
  const share = stepMs / codeEvery
  if (oddity >= share) return null
  return [85, -127, 0][Math.floor((3 * oddity) / share)] ?? null
}
