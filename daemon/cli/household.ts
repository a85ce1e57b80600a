import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Clock } from '../ports/clock.ts'
import { writeTable } from '../../shared/diary/write-table.ts'
import { sqliteDiary } from '../sqlite/diary.ts'
import { lockFolder } from '../sqlite/lock-folder.ts'
import { databaseName, openDatabase } from '../sqlite/open.ts'
import { sqliteStore } from '../sqlite/store.ts'
import { householdFromYaml, householdToYaml } from './household-text.ts'
import { lineFor } from './mistakes.ts'

/**
 * Writes the household of a data folder to a file, or to `out`, and the diary as a table to `diary` where that is given.
 * Works while the daemon runs. Returns the exit code.
 */
export function exportHousehold(
  folder: string,
  { file, diary }: { readonly file: string | null; readonly diary: string | null },
  out: (text: string) => void,
): number {
  if (!existsSync(join(folder, databaseName))) throw new Error(`there is no household in ${folder} yet`)
  const db = openDatabase(folder)
  const store = sqliteStore(db)
  try {
    const household = store.household()
    if (household === null) throw new Error(`there is no household in ${folder} yet`)
    const text = householdToYaml(household)
    if (file === null) out(text)
    else writeFileSync(file, text)
    if (diary !== null) writeFileSync(diary, writeTable(sqliteDiary(db).entries({}).toReversed(), household))
  } finally {
    store.close()
  }
  return 0
}

/**
 * Replaces the household of a data folder by a file's, or lists all that is wrong with the file and changes nothing.
 * Throws when the daemon runs on the folder: it holds the household in memory. Returns the exit code.
 */
export function importHousehold(
  folder: string,
  file: string,
  { clock, out, err }: { clock: Clock; out: (line: string) => void; err: (line: string) => void },
): number {
  const text = readFileSync(file, 'utf8')
  const lock = lockFolder(folder)
  try {
    const store = sqliteStore(openDatabase(folder))
    try {
      const read = householdFromYaml(text, store.household(), clock.now())
      if (!read.ok) {
        for (const mistake of read.mistakes) err(lineFor(file, mistake))
        return 1
      }
      const { household } = read
      const { places, sensors, animals } = household
      const held = [counted(places, 'place'), counted(sensors, 'sensor'), counted(animals, 'animal')].join(
        ', ',
      )
      const said = { at: clock.now(), kind: 'changed', by: 'brumal' } as const
      store.commit({
        readings: [],
        journal: [{ ...said, text: `Household replaced from the console: ${held}.` }],
        household,
      })
      out(`Imported ${household.name}: ${held}.`)
      return 0
    } finally {
      store.close()
    }
  } finally {
    lock.release()
  }
}

const counted = ({ length }: readonly unknown[], noun: string): string =>
  `${length} ${noun}${length === 1 ? '' : 's'}`
