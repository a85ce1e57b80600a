import type { House } from '../../daemon/app/house.ts'
import type { Clock } from '../../daemon/ports/clock.ts'
import type { Store } from '../../daemon/ports/store.ts'
import type { ImportDesk, Scratch } from '../../daemon/ports/imports.ts'
import { type Imports, openImports } from '../../daemon/app/imports.ts'
import type { ImportId, ImportLine } from '../../schemas/import.ts'
import type { Household } from '../../schemas/household.ts'
import type { Instant } from '../../schemas/units.ts'

/** Tables that wait in memory. */
function scratchInMemory(): Scratch {
  const kept = new Map<ImportId, Uint8Array[]>()
  return {
    async keep(id, bytes) {
      const chunks: Uint8Array[] = []
      for await (const chunk of bytes) chunks.push(chunk)
      kept.set(id, chunks)
      return { ok: true, value: chunks.reduce((sum, { length }) => sum + length, 0) }
    },
    async *read(id) {
      yield* kept.get(id) ?? []
    },
    remove: async (id) => void kept.delete(id),
  }
}

/** The real imports over a real store, with tables that wait in memory. */
export const importsOver = (house: House, store: Store, clock: Pick<Clock, 'now'>): Imports =>
  openImports({ house, store, clock, scratch: scratchInMemory(), log: silent, pause: async () => undefined })

const quiet = () => undefined
export const silent = { debug: quiet, info: quiet, warn: quiet, error: quiet }

/** The real imports of a desk in memory, over a store that takes everything and keeps only the lines. */
export function importsForHttp(
  now: () => Instant,
  household: () => Household,
  save: (household: Household) => void,
): ImportDesk {
  const lines = new Map<ImportId, ImportLine>()
  return openImports({
    house: {
      state: () => ({ layout: { household: household() } }),
      zonesOf: () => ({ lowCritical: 0, low: 0, inside: 0, high: 0, highCritical: 0, unknown: 0 }),
      rehouse(next) {
        save(next)
        return true
      },
      note: quiet,
    },
    store: {
      imports: () => [...lines.values()].reverse(),
      saveImport: (line) => void lines.set(line.id, line),
      forgetImport: (id) => void lines.delete(id),
      takeIn(id, hours, lineOf) {
        const line = lineOf({ added: hours.flatMap(({ at }) => at).length, known: 0, thinned: 0 })
        lines.set(id, line)
        return line
      },
      takeOut: () => ({ removed: 0, left: 0, isDone: true }),
      span: () => null,
    },
    scratch: scratchInMemory(),
    clock: { now },
    log: silent,
    pause: async () => undefined,
  })
}
