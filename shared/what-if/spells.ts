import type { Spell } from '../../schemas/what-if.ts'
import type { AlarmId, PlaceId } from '../../schemas/ids.ts'
import type { JournalEntry, JournalKind } from '../../schemas/journal.ts'
import type { Instant } from '../../schemas/units.ts'

/** What the journal tells of an alarm's standing. */
export const spellKinds = [
  'raised',
  'returned',
  'shelved',
  'suppressed',
  'tookOutOfService',
] as const satisfies readonly JournalKind[]

/** Alarms of one telling kept (X3): fifty a day for a year tell nobody anything, and as many hold 8 MB. */
const mostSpells = 20_000

/** Alarms as they come and go. It changes with each line of the journal. */
export interface SpellLog {
  /** Whose alarms count. */
  readonly places: ReadonlySet<PlaceId>
  readonly open: Map<AlarmId, Spell>
  readonly closed: Spell[]
  isCut: boolean
}

export const startLog = (places: ReadonlySet<PlaceId>): SpellLog => ({
  places,
  open: new Map(),
  closed: [],
  isCut: false,
})

/** Takes a line in, in order of time. What is hidden no longer stands for anybody; out of hiding it is raised afresh (A2). */
export function noteLine(log: SpellLog, entry: JournalEntry): void {
  const { alarm, alarmKind, place, priority, kind, at } = entry
  if (alarm === undefined || alarmKind === undefined || place === undefined || !log.places.has(place)) return
  if (!spellKinds.some((one) => one === kind)) return
  close(log, alarm, at)
  if (kind !== 'raised') return
  if (log.closed.length + log.open.size >= mostSpells) {
    log.isCut = true
    return
  }
  log.open.set(alarm, {
    alarm,
    kind: alarmKind,
    place,
    sensor: entry.sensor ?? null,
    quantity: entry.quantity ?? null,
    limit: entry.limit ?? null,
    priority: priority ?? 'medium',
    from: at,
    until: null,
    value: entry.value ?? null,
    threshold: entry.threshold ?? null,
    isDoubt: entry.guarded !== undefined,
  })
}

/** All of them by their beginning, those that still stand with them. */
export const spellsOf = ({ closed, open }: SpellLog): readonly Spell[] =>
  [...closed, ...open.values()].toSorted(
    (one, other) => one.from - other.from || (one.alarm < other.alarm ? -1 : 1),
  )

function close(log: SpellLog, alarm: AlarmId, at: Instant): void {
  const known = log.open.get(alarm)
  if (known === undefined) return
  log.open.delete(alarm)
  log.closed.push({ ...known, until: at })
}
