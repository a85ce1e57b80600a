import type { Household } from '../../schemas/household.ts'
import type { ImportChoice, ImportId, ImportLine } from '../../schemas/import.ts'
import type { Clock } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import type { Outcome } from '../ports/outcome.ts'
import type { Store } from '../ports/store.ts'
import type { ImportDesk, ImportRefusal, ImportStore, Scratch } from '../ports/imports.ts'
import { heldTables } from './held-tables.ts'
import type { House } from './house.ts'
import { runImport } from './import-run.ts'
import { type Targets, targetsOf } from './import-targets.ts'
import { takeBack } from './import-undo.ts'
import {
  askDayOrder,
  askZone,
  busy,
  importedWords,
  mostImports,
  noSuchImport,
  tooMany,
  wasHalfBack,
  wasStopped,
  whyBroken,
} from './import-words.ts'
import { notStored } from './not-stored.ts'
import type { Pause } from './place-cost.ts'
import { stored } from './stored.ts'
import { type HeldTable, lookAt, type Planned, planFor } from './table-look.ts'

export interface Imports extends ImportDesk {
  /** Ends one that runs where it is; resolves when nothing of it goes on. */
  stop(): Promise<void>
  /** Resolves when none runs any more, with its line. */
  settled(): Promise<ImportLine | null>
}

/**
 * Past winters from the tables of any logger. Nothing of them is judged: they go past the watch, straight into the store
 * (L5). One at a time is taken in, or taken back.
 */
export function openImports(world: {
  readonly house: Pick<House, 'zonesOf' | 'rehouse' | 'note'> & {
    state(): { readonly layout: { readonly household: Household } }
  }
  readonly store: ImportStore & Pick<Store, 'span'>
  readonly scratch: Scratch
  readonly clock: Pick<Clock, 'now'>
  readonly log: Log
  /** Between the parts of long work: whatever else is due has its turn. */
  readonly pause: Pause
}): Imports {
  const { house, store, scratch, clock, log, pause } = world
  const held = heldTables({ scratch, clock, taken: () => store.imports().map(({ id }) => id) })
  /** Newer than what is stored of it: how far it is, and how it ended where that could not be kept. */
  const newer = new Map<ImportId, ImportLine>()
  let running: Promise<ImportLine> | null = null
  /** Beginning one, or taking one back. */
  let working: Promise<unknown> | null = null
  let mustStop = false
  let isClosing = false
  const household = (): Household => house.state().layout.household

  function imports(): readonly ImportLine[] {
    return store.imports().map((line) => newer.get(line.id) ?? asEnded(line))
  }

  /** What the store says is going on, and is not, ended with the daemon. */
  function asEnded(line: ImportLine): ImportLine {
    if (line.state === 'running') return { ...line, state: 'broken', why: wasStopped }
    return line.state === 'undoing' && working === null
      ? { ...line, state: 'broken', why: wasHalfBack }
      : line
  }

  const lookWorld = () => ({ zone: household().timeZone, now: clock.now(), pause })

  async function begin(
    table: HeldTable,
    choice: ImportChoice,
    by: string,
  ): Promise<Outcome<ImportLine, ImportRefusal>> {
    const columns = choice.columns.map(({ column, quantity, unit }) => ({ column, quantity, unit }))
    const planned = await planFor(table, { ...choice, columns }, lookWorld())
    if (!planned.ok) return planned
    const { isLocal, dayOrder, every } = planned.value.evidence
    if (isLocal && choice.zone === undefined) return askZone
    if (dayOrder === 'ambiguous' && choice.dayOrder === undefined) return askDayOrder
    if (store.imports().length >= mostImports) return tooMany
    const targets = targetsOf(choice, household(), every)
    if (!targets.ok) return targets
    const { series, loggers } = targets.value
    const line: ImportLine = {
      id: table.id,
      at: clock.now(),
      by,
      file: table.file,
      state: 'running',
      progress: 0,
      rows: 0,
      added: 0,
      known: 0,
      thinned: 0,
      bad: 0,
      span: null,
      sensors: [...new Set(series.map(({ sensor }) => sensor))],
      loggers: loggers.map(({ id }) => id),
      why: null,
    }
    // The line first: a logger that nobody can take back must not be left behind.
    if (!stored(() => store.saveImport(line))) return notStored
    if (!makeLoggers(targets.value, by)) {
      store.forgetImport(line.id)
      return notStored
    }
    newer.set(line.id, line)
    running = run(line, { table, planned: planned.value, targets: targets.value })
    return { ok: true, value: line }
  }

  function makeLoggers({ loggers }: Targets, by: string): boolean {
    if (loggers.length === 0) return true
    const all = [...(household().loggers ?? []), ...loggers]
    const names = loggers.map(({ name }) => name).join(', ')
    const text = `Made for a past winter: ${names}.`.slice(0, 500)
    return house.rehouse({ ...household(), loggers: all }, { at: clock.now(), kind: 'changed', by, text })
  }

  async function run(
    line: ImportLine,
    what: { readonly table: HeldTable; readonly planned: Planned; readonly targets: Targets },
  ): Promise<ImportLine> {
    let now = line
    try {
      now = await runImport(line, what, {
        store,
        zonesOf: house.zonesOf,
        pause,
        onLine: (next) => {
          now = next
          newer.set(line.id, next)
        },
        mustStop: () => mustStop,
      })
      if (now.state === 'running') now = { ...now, state: 'broken', why: wasStopped }
    } catch (cause) {
      log.error({ err: cause, file: line.file }, 'A table could not be taken in to its end.')
      now = { ...now, state: 'broken', why: whyBroken(cause) }
    }
    try {
      await scratch.remove(line.id)
      // Where the store does not take it either, it is remembered until the end, and then found to be broken all the same.
      newer.set(line.id, now)
      if (stored(() => store.saveImport(now))) newer.delete(line.id)
      if (now.added > 0 || now.state === 'done')
        house.note({ at: clock.now(), kind: 'changed', by: line.by, text: importedWords(now, household()) })
    } catch (cause) {
      log.error({ err: cause, file: line.file }, 'The end of an import could not be noted.')
    }
    running = null
    return now
  }

  /** One at a time: two that take hours of one block out of each other's hands would both be right, and slow. */
  async function alone<Value>(
    work: () => Promise<Outcome<Value, ImportRefusal>>,
  ): Promise<Outcome<Value, ImportRefusal>> {
    if (working !== null || isClosing || running !== null) return busy
    const mine = work()
    working = mine
    try {
      return await mine
    } catch (cause) {
      if (cause instanceof Error && cause.name === 'StorageError') return notStored
      throw cause
    } finally {
      working = null
    }
  }

  return {
    imports,

    async holdTable(file, bytes) {
      if (isClosing) return busy
      const kept = await held.keep(file, bytes)
      if (!kept.ok) return kept
      const seen = await lookAt(kept.value, {}, lookWorld())
      if (!seen.ok) await held.forget(kept.value.id)
      return seen
    },

    async lookThrough(id, choice) {
      const table = held.get(id)
      return table === undefined ? noSuchImport : lookAt(table, choice, lookWorld())
    },

    async beginImport(id, choice, by) {
      const table = held.get(id)
      if (table === undefined) return noSuchImport
      // Not to be forgotten for a newer one meanwhile
      held.letGo(id)
      const begun = await alone(() => begin(table, choice, by))
      if (!begun.ok) held.putBack(table)
      return begun
    },

    async undoImport(id, by) {
      if (held.get(id) !== undefined) {
        await held.forget(id)
        return { ok: true, value: { removed: 0, left: 0 } }
      }
      if (newer.get(id)?.state === 'running') await stopRunning()
      const line = imports().find((one) => one.id === id)
      if (line === undefined) return noSuchImport
      return alone(async () => {
        const outcome = await takeBack(line, by, { ...world, isClosing: () => isClosing })
        if (outcome.ok) newer.delete(id)
        return outcome
      })
    },

    async stop() {
      isClosing = true
      await working?.catch(() => undefined)
      await stopRunning()
    },
    settled: async () => running,
  }

  async function stopRunning(): Promise<void> {
    mustStop = true
    await running
    mustStop = false
  }
}
