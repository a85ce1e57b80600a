import type { ImportLine } from '../../schemas/import.ts'
import { qualityCode } from '../../schemas/reading.ts'
import type { Instant } from '../../schemas/units.ts'
import { tableReader } from '../../shared/logger-table/reader.ts'
import { judgeAlone } from '../../shared/sensing/quality.ts'
import type { Store } from '../ports/store.ts'
import type { ZonesOf } from '../ports/zones.ts'
import type { ImportedHour } from '../ports/imports.ts'
import { gatherHours } from './import-hours.ts'
import type { Targets } from './import-targets.ts'
import type { Pause } from './place-cost.ts'
import type { HeldTable, Planned } from './table-look.ts'
import { readRows } from './table-text.ts'

/** Hour blocks of one transaction: about 20 ms of work and one commit, in which nothing is judged. */
const hoursAtOnce = 50

/**
 * Takes a table in: each transaction holds some hours, the list of what came with them, and how far it is, so that it may
 * end anywhere. Throws what the store throws. Resolves with the line as it is then; `running` where it was told to stop.
 */
export async function runImport(
  begun: ImportLine,
  {
    table,
    planned,
    targets,
  }: { readonly table: HeldTable; readonly planned: Planned; readonly targets: Targets },
  world: {
    readonly store: Pick<Store, 'takeIn'>
    readonly zonesOf: ZonesOf
    readonly pause: Pause
    readonly onLine: (line: ImportLine) => void
    readonly mustStop: () => boolean
  },
): Promise<ImportLine> {
  const { store, zonesOf, pause, onLine, mustStop } = world
  const gathered = gatherHours(targets.series)
  let newest: Instant | null = null
  const reader = tableReader(planned.plan, (column, at, value) => {
    const { quantity, type } = targets.series[column] as Targets['series'][number]
    gathered.add(column, at, value, qualityCode(judgeAlone({ quantity, value }, type)))
    newest = at
  })
  let line = begun

  async function flush(hours: readonly ImportedHour[], progress: number): Promise<void> {
    for (let i = 0; i < hours.length && !mustStop(); i += hoursAtOnce) {
      const { rows, bad, first, last } = reader.tally()
      line = store.takeIn(
        line.id,
        hours.slice(i, i + hoursAtOnce),
        (taken) => ({
          ...line,
          rows,
          bad,
          progress,
          span: first === null || last === null ? null : { first, last },
          added: line.added + taken.added,
          known: line.known + taken.known,
          thinned: line.thinned + taken.thinned,
        }),
        zonesOf,
      )
      onLine(line)
      await pause()
    }
  }

  await readRows(
    table.read(),
    { encoding: planned.encoding, separator: planned.writing.separator },
    reader.row,
    async (bytes) => {
      await pause()
      if (gathered.isFull()) await flush(gathered.take(newest), Math.min(1, bytes / Math.max(1, table.bytes)))
      return !mustStop()
    },
  )
  if (mustStop()) return line
  reader.end()
  await flush(gathered.take(null), 1)
  const { rows, bad } = reader.tally()
  const known = line.known + gathered.repeats()
  return mustStop() ? line : { ...line, rows, bad, known, progress: 1, state: 'done' }
}
