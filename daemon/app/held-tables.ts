import type { ImportId } from '../../schemas/import.ts'
import type { Clock } from '../ports/clock.ts'
import type { ImportRefusal, Scratch } from '../ports/imports.ts'
import type { Outcome } from '../ports/outcome.ts'
import { busy, idOf, nameOf } from './import-words.ts'
import type { HeldTable } from './table-look.ts'

/** Tables that came and wait to be taken in, as few as are of use; the oldest makes room for a new one. */
interface HeldTables {
  /** Resolves once it is here as a whole. */
  keep(file: string, bytes: AsyncIterable<Uint8Array>): Promise<Outcome<HeldTable, ImportRefusal>>
  get(id: ImportId): HeldTable | undefined
  /** It waits no more, but its bytes stay: a newer one must not push it out. */
  letGo(id: ImportId): void
  putBack(table: HeldTable): void
  /** Neither it nor its bytes stay. */
  forget(id: ImportId): Promise<void>
}

/** Tables that wait at once (X3): one is being looked at, another chosen anew. */
const mostHeld = 3

export function heldTables(world: {
  readonly scratch: Scratch
  readonly clock: Pick<Clock, 'now'>
  /** Ids that are taken by what has been taken in. */
  readonly taken: () => readonly ImportId[]
}): HeldTables {
  const { scratch, clock, taken } = world
  const held = new Map<ImportId, HeldTable>()
  /** Tables on their way here. */
  const incoming = new Set<ImportId>()

  function freeId(): ImportId {
    const known = new Set<string>([...held.keys(), ...incoming, ...taken()])
    let at: number = clock.now()
    while (known.has(idOf(at))) at++
    return idOf(at)
  }

  async function forget(id: ImportId): Promise<void> {
    held.delete(id)
    await scratch.remove(id)
  }

  return {
    async keep(file, bytes) {
      if (incoming.size >= mostHeld) return busy
      const id = freeId()
      incoming.add(id)
      const kept = await scratch.keep(id, bytes).finally(() => incoming.delete(id))
      if (!kept.ok) return kept
      const table = { id, file: nameOf(file), bytes: kept.value, read: () => scratch.read(id) }
      const oldest = held.keys().next()
      if (held.size >= mostHeld && oldest.done !== true) await forget(oldest.value)
      held.set(id, table)
      return { ok: true, value: table }
    },
    get: (id) => held.get(id),
    letGo: (id) => void held.delete(id),
    putBack: (table) => void held.set(table.id, table),
    forget,
  }
}
