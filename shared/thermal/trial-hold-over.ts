import { minutes, millis } from '../../schemas/amounts.ts'
import type { TrialHeld, TrialHoldOver } from '../../schemas/trial-report.ts'
import type { Millis } from '../../schemas/units.ts'
import { fitOneNode } from './fit-nodes.ts'
import { holdOver } from './hold-over.ts'
import type { Point } from './lag.ts'
import { tauFromStep } from './step-response.ts'
import { type HoldLimit, isBeyond } from './trial-walk.ts'

/** A sensor with its readings of one time with the plug out, and the room's; uncertainty standard, K. */
export interface Unplugged {
  readonly sensor: TrialHoldOver['sensor']
  readonly readings: readonly Point[]
  readonly room: { readonly readings: readonly Point[]; readonly uncertainty: number } | null
}

/** At first the air alone warms up to what stands in it; from then on all warms as one lump. Derived. */
const airFirst = minutes(20)

/** What the plug's time shows; null where it was too short for two readings. */
export function holdOverOf({ sensor, readings, room }: Unplugged): TrialHoldOver | null {
  const [first, last] = [readings[0], readings.at(-1)]
  if (first === undefined || last === undefined || last.at <= first.at) return null
  const late = readings.filter(({ at }) => at >= first.at + airFirst)
  const seen = {
    sensor,
    at: first.at,
    lasted: millis(last.at - first.at),
    from: first.celsius,
    to: last.celsius,
  }
  const unknown = { ...seen, room: null, isRoomMeasured: false, tau: null, share: null }
  if (room === null || room.readings.length === 0) {
    const step = tauFromStep(late)
    if (step === null) return unknown
    return { ...unknown, room: step.final, tau: step.tau, share: step.tauUncertainty / step.tau }
  }
  const mean = room.readings.reduce((sum, { celsius }) => sum + celsius, 0) / room.readings.length
  let next = 0
  const paired = late.map(({ at, celsius }) => {
    while ((room.readings[next + 1]?.at ?? Infinity) <= at) next++
    return { at, celsius, room: room.readings[next]?.celsius ?? mean }
  })
  const fitted = fitOneNode(paired, room.uncertainty)
  return {
    ...seen,
    room: mean,
    isRoomMeasured: true,
    tau: fitted?.tau ?? null,
    share: fitted?.share ?? null,
  }
}

/** How long until each limit: as seen, and as it would be from the usual mean in the same room. */
export function heldUntil(
  trial: TrialHoldOver,
  readings: readonly Point[],
  usual: number,
  limits: readonly HoldLimit[],
): TrialHeld[] {
  const { tau, share, room } = trial
  return limits.flatMap((limit) => {
    // The plug out takes it towards the room: of the other side it tells nothing.
    const isTowards = isLowSide(limit) ? (room ?? Infinity) < usual : (room ?? Infinity) > usual
    if (!isTowards || isBeyond(limit, trial.from)) return []
    const met = readings.find(({ celsius }) => isBeyond(limit, celsius))
    const seen = met === undefined ? null : millis(met.at - trial.at)
    const to = limit.value
    const after = (of: number): Millis | null =>
      room === null
        ? null
        : holdOver({
            conductance: 1,
            capacity: of / 1000,
            from: usual,
            to,
            room,
            litres: 0,
            freezes: false,
          })
    const known = tau === null || share === null ? null : { tau, share }
    return [
      {
        limit: limit.limit,
        value: to,
        seen,
        after: known === null ? null : after(known.tau),
        least: known === null ? null : after(known.tau * Math.exp(-2 * known.share)),
        most: known === null ? null : after(known.tau * Math.exp(2 * known.share)),
        isNever: known !== null && after(known.tau) === null,
      },
    ]
  })
}

const isLowSide = ({ limit }: HoldLimit): boolean => limit === 'low' || limit === 'lowCritical'
