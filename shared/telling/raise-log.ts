import { minutes } from '../../schemas/amounts.ts'
import type { AlarmId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'

/** Raisings of the last ten minutes, oldest first. */
export type RaiseLog = readonly { readonly alarm: AlarmId; readonly at: Instant }[]

/** ISA-18.2 §16.4.4: more than 10 alarms in 10 minutes begin a flood, fewer than 5 end it (figures second-hand). */
const floodWindow = minutes(10)
const floodFrom = 10
const floodUntil = 5
/** Three raisings in one minute are chattering (ISA-18 literature, second-hand). */
const chatterWindow = minutes(1)
const chatterFrom = 3

export function noteRaise(log: RaiseLog, alarm: AlarmId, at: Instant): RaiseLog {
  return [...log.filter((one) => one.at > at - floodWindow), { alarm, at }]
}

/** Whether this alarm chatters: three raisings within a minute, the first and the last at most 60 s apart, 60 s left out. */
export function raisedOften(log: RaiseLog, alarm: AlarmId, at: Instant): boolean {
  return (
    log.filter((one) => one.alarm === alarm && one.at > at - chatterWindow && one.at <= at).length >=
    chatterFrom
  )
}

export const isFlood = (log: RaiseLog, at: Instant): boolean => within(log, at) > floodFrom

export const isFloodOver = (log: RaiseLog, at: Instant): boolean => within(log, at) < floodUntil

const within = (log: RaiseLog, at: Instant): number =>
  log.filter((one) => one.at > at - floodWindow && one.at <= at).length
