import type { JournalLine } from '../../schemas/api.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { JournalKind } from '../../schemas/journal.ts'
import type { WhatIfCaveats } from '../../schemas/what-if.ts'
import type { Instant } from '../../schemas/units.ts'
import { noteLine, spellKinds, type SpellLog, startLog } from '../../shared/what-if/spells.ts'
import type { Stretch } from '../../shared/what-if/tally.ts'
import type { Happened } from '../../shared/what-if/walk.ts'
import type { Store } from '../ports/store.ts'

/** Lines read at a time; others have their turn between. */
const page = 500
/** A year of a house whose alarms come and go every five minutes (X3); older lines are left out. */
const mostLines = 200_000

const happenedKinds = ['tending', 'tended', 'started', 'stopped', 'brokerUp', 'brokerDown'] as const
const changeKinds = ['changed', 'claimed', 'coolingBegan', 'warmingBegan'] as const
const kinds: readonly JournalKind[] = [...spellKinds, ...happenedKinds, ...changeKinds]

/** What the journal says of a past time. */
export interface PastLog {
  /** Alarms that rang. */
  readonly log: SpellLog
  /** What the engine is told again. */
  readonly happened: readonly Happened[]
  readonly caveats: Pick<WhatIfCaveats, 'hidden' | 'tendings' | 'starts' | 'changes'>
}

/** Null where it is no longer wanted. */
export async function readPast(
  store: Pick<Store, 'journal'>,
  places: ReadonlySet<PlaceId>,
  read: Stretch,
  counted: Stretch,
  pause: () => Promise<boolean>,
): Promise<PastLog | null> {
  const lines: JournalLine[] = []
  for (let before: number | undefined; lines.length < mostLines; ) {
    const some = store.journal({
      ...read,
      kinds,
      limit: page,
      ...(before === undefined ? {} : { before }),
    })
    lines.push(...some)
    if (some.length < page) break
    before = some.at(-1)?.id
    if (!(await pause())) return null
  }
  lines.sort((one, other) => one.at - other.at || one.id - other.id)
  const log = startLog(places)
  const caveats = { hidden: 0, tendings: 0, starts: 0, changes: 0 }
  const happened: Happened[] = []
  for (const line of lines) {
    noteLine(log, line)
    happened.push(...happenedOf(line))
    if (line.at < counted.from) continue
    const isHere = line.place !== undefined && places.has(line.place)
    if (isHere && (line.kind === 'shelved' || line.kind === 'tookOutOfService')) caveats.hidden += 1
    else if (isHere && line.kind === 'tending') caveats.tendings += 1
    else if (line.kind === 'started') caveats.starts += 1
    else if (changeKinds.some((kind) => kind === line.kind) && line.by !== 'brumal') caveats.changes += 1
  }
  return { log, happened, caveats }
}

function happenedOf(line: JournalLine): readonly Happened[] {
  const { at, place, by, text = '' } = line
  switch (line.kind) {
    case 'tending':
      if (place === undefined || line.until === undefined) return []
      return [{ kind: 'tend', at, place, until: line.until, by }]
    case 'tended':
      // What ended by itself ends by itself again.
      return place === undefined || by === 'brumal' ? [] : [{ kind: 'tend', at, place, until: at, by }]
    case 'started':
      return [{ kind: 'listening', at }]
    case 'stopped':
      return [{ kind: 'stopped', at }]
    case 'brokerUp':
    case 'brokerDown':
      return [{ kind: 'stage', stage: 'broker', isWell: line.kind === 'brokerUp', at, text }]
    default:
      return []
  }
}

/** What happened before a reading of this instant; at an equal one only that somebody listens to it. */
export function* dueBefore(happened: readonly Happened[], from: { next: number }, at: Instant) {
  for (;;) {
    const first = happened[from.next]
    if (first === undefined || first.at > at || (first.at === at && first.kind !== 'listening')) return
    from.next += 1
    yield first
  }
}
