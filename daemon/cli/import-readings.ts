import { createReadStream, existsSync, statSync } from 'node:fs'
import { basename, join } from 'node:path'
import type { Household } from '../../schemas/household.ts'
import { type ImportId, type ImportLine, tableBytes } from '../../schemas/import.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { localDate } from '../../shared/time/wall.ts'
import { type Imports, openImports } from '../app/imports.ts'
import { pastHouse } from '../app/past-house.ts'
import type { Clock } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import type { Scratch } from '../ports/imports.ts'
import { lockFolder } from '../sqlite/lock-folder.ts'
import { databaseName, openDatabase } from '../sqlite/open.ts'
import { sqliteStore } from '../sqlite/store.ts'
import { choiceOf, type ReadingsOptions } from './import-choice.ts'

interface Console {
  readonly clock: Clock
  readonly out: (line: string) => void
  readonly err: (line: string) => void
  /** Overwrites one line on a terminal; null where there is none. */
  readonly progress: ((text: string) => void) | null
}

/** Takes a past winter in from a logger's table, while Brumal is stopped. Returns the exit code. */
export async function importReadings(folder: string, options: ReadingsOptions, to: Console): Promise<number> {
  const { size } = statSync(options.file)
  if (size > tableBytes)
    throw new Error(`${options.file} is larger than ${tableBytes / 1_048_576} MB; split it`)
  return withImports(folder, to, options.file, async ({ imports, household }) => {
    const held = await imports.holdTable(basename(options.file), createReadStream(options.file), 'brumal')
    if (!held.ok) return refuse(to, held.sentence)
    const choice = choiceOf(held.value, options, household())
    if (typeof choice === 'string') return refuse(to, choice)
    const begun = await imports.beginImport(held.value.id, choice, 'brumal')
    if (!begun.ok)
      return refuse(to, begun.error in hints ? `${begun.sentence} ${hints[begun.error]}` : begun.sentence)
    const line = await watched(imports, begun.value, to)
    for (const { line: number, sentence } of held.value.problems) to.err(`line ${number}: ${sentence}`)
    const more = line.bad - held.value.problems.length
    if (more > 0) to.err(`… and ${more} more lines at fault.`)
    to.out(endWords(line, household().timeZone))
    return line.state === 'done' ? 0 : 1
  })
}

/** Takes an import back, while Brumal is stopped. Returns the exit code. */
export function undoReadings(folder: string, id: string, to: Console): Promise<number> {
  return withImports(folder, to, null, async ({ imports }) => {
    const outcome = await imports.undoImport(id as ImportId, 'brumal')
    if (!outcome.ok) return refuse(to, `There is no import ${id}; brumal import --list shows them.`)
    const { removed, left } = outcome.value
    to.out(`Took back ${removed} readings.`)
    if (left > 0) to.out(`${left} have gone into hourly summaries with others since, and stay.`)
    return 0
  })
}

/** Lists the imports of a data folder; works while the daemon runs. Returns the exit code. */
export function listReadings(folder: string, out: (line: string) => void): number {
  const store = sqliteStore(openDatabase(existing(folder)))
  try {
    const zone = store.household()?.timeZone ?? 'UTC'
    const lines = store.imports()
    for (const line of lines) out(`${line.id}  ${localDate(line.at, zone)}  ${endWords(line, zone)}`)
    if (lines.length === 0) out('No past winter was taken in.')
  } finally {
    store.close()
  }
  return 0
}

async function withImports(
  folder: string,
  { clock, err }: Console,
  file: string | null,
  work: (world: { readonly imports: Imports; readonly household: () => Household }) => Promise<number>,
): Promise<number> {
  existing(folder)
  const lock = lockFolder(folder)
  try {
    const store = sqliteStore(openDatabase(folder))
    try {
      const household = store.household()
      if (household === null) throw new Error(`there is no household in ${folder} yet`)
      let past = pastHouse(household, profileOf, clock.now())
      const imports = openImports({
        house: {
          state: () => past.state(),
          zonesOf: (...given) => past.zonesOf(...given),
          rehouse(next, entry) {
            store.commit({ readings: [], journal: [entry], household: next })
            past = pastHouse(next, profileOf, clock.now())
            return true
          },
          note: (entry) => void store.commit({ readings: [], journal: [entry] }),
        },
        store,
        scratch: theFile(file),
        clock,
        log: logTo(err),
        pause: () => new Promise((resolve) => setImmediate(resolve)),
      })
      return await work({ imports, household: () => past.state().layout.household })
    } finally {
      store.close()
    }
  } finally {
    lock.release()
  }
}

/** The file itself: it is there already, and stays. */
const theFile = (file: string | null): Scratch => ({
  keep: async () => ({ ok: true, value: file === null ? 0 : statSync(file).size }),
  read: () => createReadStream(file ?? ''),
  remove: async () => undefined,
})

const quiet = () => undefined
const logTo = (err: (line: string) => void): Log => ({
  debug: quiet,
  info: quiet,
  warn: (_about, sentence) => err(sentence),
  error: (_about, sentence) => err(sentence),
})

async function watched(imports: Imports, begun: ImportLine, { progress }: Console): Promise<ImportLine> {
  if (progress === null) return (await imports.settled()) ?? lineOf(imports, begun)
  const beat = setInterval(() => {
    const line = lineOf(imports, begun)
    progress(`${Math.round(line.progress * 100)} %, ${line.added} readings`)
  }, 200)
  try {
    return (await imports.settled()) ?? lineOf(imports, begun)
  } finally {
    clearInterval(beat)
    progress('')
  }
}

const lineOf = (imports: Imports, begun: ImportLine): ImportLine =>
  imports.imports().find(({ id }) => id === begun.id) ?? begun

function endWords({ id, file, state, added, known, thinned, span, why }: ImportLine, zone: string): string {
  const when = span === null ? '' : `, ${localDate(span.first, zone)} to ${localDate(span.last, zone)}`
  const parts = [
    `${file}: ${added} readings${when}`,
    ...(known > 0 ? [`${known} were there already`] : []),
    ...(thinned > 0 ? [`${thinned} left out, of hours of which only the summary is kept`] : []),
    ...(state === 'done' ? [] : [why ?? 'it ended before its end']),
  ]
  return `${parts.join('; ').replace(/\.$/, '')}. Take it back with brumal import --undo ${id}`
}

function existing(folder: string): string {
  if (!existsSync(join(folder, databaseName))) throw new Error(`there is no household in ${folder} yet`)
  return folder
}

function refuse({ err }: Console, sentence: string): number {
  err(sentence)
  return 1
}

const hints: Readonly<Record<string, string>> = {
  askZone: 'Add --zone, such as --zone Europe/Vienna.',
  askDayOrder: 'Add --day-order dayFirst or --day-order monthFirst.',
}
