import type { Alarm, AlarmKind } from '../../schemas/alarm.ts'
import type { JournalLine, Night } from '../../schemas/api.ts'
import type { LimitName, Priority } from '../../schemas/band.ts'
import type { JournalKind } from '../../schemas/journal.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { isConditionOut } from '../../shared/judging/alarm.ts'

/** Alarms that tell of a curve: what is wrong with a battery or a message does not show in it. */
export const curveKinds = [
  'limit',
  'animalLimit',
  'limitAhead',
  'notCooling',
  'alwaysCooling',
  'drifting',
  'doorAjar',
  'silent',
  'faulty',
  'stuck',
  'disagreeing',
  'unwatched',
] as const satisfies readonly AlarmKind[]
type CurveKind = (typeof curveKinds)[number]

/** A stretch of time in which an alarm stood. */
export interface Fault {
  readonly alarm: string
  readonly kind: CurveKind
  readonly place: string
  readonly sensor: string | null
  readonly quantity: Quantity | null
  readonly limit: LimitName | null
  readonly priority: Priority
  /** Null: before everything that was read. */
  readonly from: number | null
  /** Null: it still stands. */
  readonly to: number | null
}

/** Lines of the journal from which the stretches are read. While an alarm is hidden nobody tells whether it stands. */
const hiding = ['shelved', 'suppressed', 'tookOutOfService'] as const satisfies readonly JournalKind[]
export const faultLines = ['raised', 'returned', ...hiding] as const satisfies readonly JournalKind[]

/** When alarms of the curve stood in `places`, oldest first: by the journal's lines and by what stands now. */
export function faultsIn(
  lines: readonly JournalLine[],
  standing: readonly Alarm[],
  places: ReadonlySet<string>,
): Fault[] {
  const told = new Map<string, JournalLine>()
  for (const line of lines) told.set(`${line.id}`, line)
  const open = new Map<string, Fault>()
  const over: Fault[] = []
  const end = (alarm: string, to: number, before: Fault | null): void => {
    const fault = open.get(alarm) ?? before
    open.delete(alarm)
    if (fault !== null) over.push({ ...fault, to })
  }
  for (const line of [...told.values()].sort((a, b) => a.at - b.at || a.id - b.id)) {
    const subject = subjectOf(line.alarm, { ...line, kind: line.alarmKind }, places)
    if (subject === null) continue
    if (line.kind === 'raised') {
      if (!open.has(subject.alarm)) open.set(subject.alarm, { ...subject, from: line.at, to: null })
    } else if (line.kind === 'returned') end(subject.alarm, line.at, { ...subject, from: null, to: null })
    else if (isHiding(line.kind)) end(subject.alarm, line.at, null)
  }
  for (const alarm of standing) {
    const subject = subjectOf(alarm.id, alarm, places)
    if (subject === null) continue
    const { state } = alarm
    if (isConditionOut(state) && 'since' in state && state.since !== null) {
      const from = open.get(alarm.id)?.from ?? state.since
      dropFrom(over, alarm.id, from)
      open.set(alarm.id, { ...subject, from, to: null })
    } else open.delete(alarm.id)
    if (state.name !== 'returnedUnacknowledged') continue
    const { since, returnedAt } = state
    if (!over.some(({ alarm: id, to }) => id === alarm.id && to === returnedAt))
      over.push({ ...subject, from: since, to: returnedAt })
  }
  return [...over, ...open.values()].sort((a, b) => (a.from ?? 0) - (b.from ?? 0))
}

/** Those that fall into the night and are about what is drawn; limits of another quantity are not. */
export const faultsOn = (faults: readonly Fault[], night: Night, quantity: Quantity): readonly Fault[] =>
  faults.filter(
    (fault) =>
      (fault.quantity === null || fault.quantity === quantity) &&
      (fault.from ?? 0) < night.to &&
      (fault.to ?? night.to) >= night.from,
  )

type Subject = Omit<Fault, 'from' | 'to'>

interface Told {
  readonly kind: AlarmKind | undefined
  readonly place?: string | null | undefined
  readonly sensor?: string | null | undefined
  readonly quantity?: Quantity | null | undefined
  readonly limit?: LimitName | null | undefined
  readonly priority?: Priority | undefined
}

/** What an alarm is about; null where it is no alarm of a curve, or of another place. */
function subjectOf(alarm: string | undefined, told: Told, places: ReadonlySet<string>): Subject | null {
  const { place, sensor = null, quantity = null, limit = null, priority = 'low' } = told
  const kind = curveKinds.find((one) => one === told.kind)
  if (alarm === undefined || kind === undefined || !place || !places.has(place)) return null
  return { alarm, kind, place, sensor, quantity, limit, priority }
}

const isHiding = (kind: JournalKind): boolean => (hiding as readonly JournalKind[]).includes(kind)

/** What stands since before it was hidden is one stretch, not two. */
function dropFrom(faults: Fault[], alarm: string, from: number): void {
  for (let i = faults.length - 1; i >= 0; i -= 1) {
    const one = faults[i]
    if (one?.alarm === alarm && (one.from ?? 0) >= from) faults.splice(i, 1)
  }
}
