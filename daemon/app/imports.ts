import type { Household } from '../../schemas/household.ts'
import type { ImportChoice, ImportId, ImportLine } from '../../schemas/import.ts'
import { localDate } from '../../shared/time/wall.ts'
import type { Clock, Log, Outcome, Store } from '../ports.ts'
import type { ImportDesk, ImportRefusal, ImportStore, Scratch } from '../ports/imports.ts'
import type { House } from './house.ts'
import { runImport } from './import-run.ts'
import { type Targets, targetsOf } from './import-targets.ts'
import { notStored } from './not-stored.ts'
import type { Pause } from './place-cost.ts'
import { stored } from './stored.ts'
import { type HeldTable, type Looked, lookAt } from './table-look.ts'

export interface Imports extends ImportDesk {
  /** Ends one that runs where it is; resolves when nothing of it goes on. */
  stop(): Promise<void>
  /** Resolves when none runs any more, with its line. */
  settled(): Promise<ImportLine | null>
}

/** Tables that wait at once (X3): one is being looked at, another chosen anew. */
const mostHeld = 3
/** Imports that are remembered (X3): ten a winter for twenty winters. */
const mostImports = 200
/** Hour blocks that one transaction takes out: about 10 ms of work, in which nothing is judged. */
const hoursAtOnce = 40
const longestName = 80

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
  const held = new Map<ImportId, HeldTable>()
  /** Newer than what is stored of it: how far it is, and how it ended where that could not be kept. */
  const newer = new Map<ImportId, ImportLine>()
  let running: Promise<ImportLine> | null = null
  let isBusy = false
  let mustStop = false
  let isClosing = false
  const household = (): Household => house.state().layout.household

  function imports(): readonly ImportLine[] {
    return store.imports().map((line) => newer.get(line.id) ?? asEnded(line))
  }

  /** What the store says is running, and is not, ended with the daemon. */
  const asEnded = (line: ImportLine): ImportLine =>
    line.state === 'running' ? { ...line, state: 'broken', why: wasStopped } : line

  function freeId(): ImportId {
    const taken = new Set<string>([...held.keys(), ...store.imports().map(({ id }) => id)])
    let at: number = clock.now()
    while (taken.has(idOf(at))) at++
    return idOf(at)
  }

  async function forget(id: ImportId): Promise<void> {
    held.delete(id)
    await scratch.remove(id)
  }

  async function look(table: HeldTable, choice: Parameters<ImportDesk['lookThrough']>[1]) {
    return lookAt(table, choice, { zone: household().timeZone, now: clock.now(), pause })
  }

  async function begin(
    table: HeldTable,
    choice: ImportChoice,
    by: string,
  ): Promise<Outcome<ImportLine, ImportRefusal>> {
    const seen = await look(table, {
      ...choice,
      columns: choice.columns.map(({ column, quantity, unit }) => ({ column, quantity, unit })),
    })
    if (!seen.ok) return seen
    const { isLocal, dayOrder, every } = seen.value.look
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
    held.delete(table.id)
    running = run(line, { table, looked: seen.value, targets: targets.value })
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
    what: { readonly table: HeldTable; readonly looked: Looked; readonly targets: Targets },
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
    // Where the store does not take it either, it is remembered until the end, and then found to be broken all the same.
    newer.set(line.id, now)
    try {
      if (stored(() => store.saveImport(now))) newer.delete(line.id)
      if (now.added > 0 || now.state === 'done')
        house.note({ at: clock.now(), kind: 'changed', by: line.by, text: importedWords(now, household()) })
      await scratch.remove(line.id)
    } catch (cause) {
      log.error({ err: cause, file: line.file }, 'The end of an import could not be noted.')
    }
    running = null
    return now
  }

  async function takeBack(line: ImportLine, by: string): Promise<{ removed: number; left: number }> {
    const sum = { removed: 0, left: 0 }
    store.saveImport({ ...line, state: 'undoing' })
    for (let isDone = false; !isDone; ) {
      const some = store.takeOut(line.id, hoursAtOnce, house.zonesOf)
      sum.removed += some.removed
      sum.left += some.left
      isDone = some.isDone
      await pause()
    }
    const { loggers = [], ...others } = household()
    const gone = loggers.filter(({ id }) => line.loggers.includes(id) && isEmpty(id))
    const kept = loggers.filter((one) => !gone.includes(one))
    const text = `Took back ${line.file}: ${sum.removed} readings.`
    const entry = { at: clock.now(), kind: 'changed', by, text } as const
    if (gone.length === 0) house.note(entry)
    else house.rehouse({ ...others, ...(kept.length > 0 && { loggers: kept }) }, entry)
    store.forgetImport(line.id)
    newer.delete(line.id)
    return sum
  }

  const isEmpty = (id: ImportLine['loggers'][number]): boolean =>
    store.span(id, 'temperature') === null && store.span(id, 'humidity') === null

  /** One at a time: two that take hours of one block out of each other's hands would both be right, and slow. */
  async function alone<Value>(
    work: () => Promise<Outcome<Value, ImportRefusal>>,
  ): Promise<Outcome<Value, ImportRefusal>> {
    if (isBusy || isClosing || running !== null) return busy
    isBusy = true
    try {
      return await work()
    } catch (cause) {
      if (cause instanceof Error && cause.name === 'StorageError') return notStored
      throw cause
    } finally {
      isBusy = false
    }
  }

  return {
    imports,

    async holdTable(file, bytes) {
      const id = freeId()
      const kept = await scratch.keep(id, bytes)
      if (!kept.ok) return kept
      const table = { id, file: nameOf(file), bytes: kept.value, read: () => scratch.read(id) }
      const oldest = held.keys().next()
      if (held.size >= mostHeld && oldest.done !== true) await forget(oldest.value)
      held.set(id, table)
      const seen = await look(table, {})
      if (!seen.ok) await forget(id)
      return seen.ok ? { ok: true, value: seen.value.look } : seen
    },

    async lookThrough(id, choice) {
      const table = held.get(id)
      if (table === undefined) return noSuchImport
      const seen = await look(table, choice)
      return seen.ok ? { ok: true, value: seen.value.look } : seen
    },

    async beginImport(id, choice, by) {
      const table = held.get(id)
      if (table === undefined) return noSuchImport
      return alone(() => begin(table, choice, by))
    },

    async undoImport(id, by) {
      if (held.has(id)) {
        await forget(id)
        return { ok: true, value: { removed: 0, left: 0 } }
      }
      if (newer.get(id)?.state === 'running') await stopRunning()
      const line = imports().find((one) => one.id === id)
      if (line === undefined) return noSuchImport
      return alone(async () => ({ ok: true, value: await takeBack(line, by) }))
    },

    async stop() {
      isClosing = true
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

const idOf = (at: number): ImportId => `t${at.toString(36).padStart(9, '0')}` as ImportId

/** A name to show: what a browser sends may be a path, and anything else. */
function nameOf(file: string): string {
  const name = (file.split(/[\\/]/).at(-1) ?? '').replaceAll(/\p{Cc}/gu, '').trim()
  return name === '' ? 'table.csv' : name.slice(0, longestName)
}

function importedWords(
  { file, added, known, span, sensors, state }: ImportLine,
  household: Household,
): string {
  const { timeZone, loggers = [] } = household
  const names = sensors.map(
    (id) => [...household.sensors, ...loggers].find((one) => one.id === id)?.name ?? id,
  )
  const when =
    span === null ? '' : ` of ${localDate(span.first, timeZone)} to ${localDate(span.last, timeZone)}`
  const more = known === 0 ? '' : ` ${known} were there already.`
  const end = state === 'done' ? '' : ' It ended before its end.'
  return `Took in ${file}: ${added} readings${when}, for ${names.join(', ')}.${more}${end}`.slice(0, 500)
}

function whyBroken(cause: unknown): string {
  if (cause instanceof Error && cause.name === 'StorageError')
    return 'Nothing more could be stored. Take it back, or send the table again when there is room.'
  return 'Something went wrong; the log says what.'
}

const wasStopped =
  'Brumal was stopped while it was taken in. Take it back, or send the table again: what is there stays as it is.'

const noSuchImport = {
  ok: false,
  error: 'noSuchImport',
  sentence: 'There is no such table any more. Send it again.',
} as const
const busy = {
  ok: false,
  error: 'busy',
  sentence: 'A table is being taken in, or taken back. Wait until that is done.',
} as const
const askZone = {
  ok: false,
  error: 'askZone',
  sentence: 'Its times are local: say in which time zone the logger’s clock ran.',
} as const
const askDayOrder = {
  ok: false,
  error: 'askDayOrder',
  sentence: 'Its dates may be read in two ways: say whether the day or the month comes first.',
} as const
const tooMany = {
  ok: false,
  error: 'tooMany',
  sentence: `At most ${mostImports} imports are remembered. Take one back first.`,
} as const
