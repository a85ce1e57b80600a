import { existsSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { AnimalId } from '../../schemas/ids.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { pastHouse } from '../app/past-house.ts'
import { openReports } from '../app/reports.ts'
import type { Clock } from '../ports/clock.ts'
import { sqliteDiary } from '../sqlite/diary.ts'
import { databaseName, openDatabase } from '../sqlite/open.ts'
import { sqliteStore } from '../sqlite/store.ts'

/**
 * Writes the winter of one animal, or of all of them, as one page (HTML) to `file` or to `out`. Works while the daemon
 * runs; what waits in its memory, a few seconds, is not in it. Returns the exit code.
 */
export async function reportCommand(
  folder: string,
  asked: { readonly season: string | null; readonly animal: string | null; readonly file: string | null },
  world: { readonly clock: Clock; readonly out: (text: string) => void },
): Promise<number> {
  if (!existsSync(join(folder, databaseName))) throw new Error(`there is no household in ${folder} yet`)
  const db = openDatabase(folder)
  const store = sqliteStore(db)
  try {
    const household = store.household()
    if (household === null) throw new Error(`there is no household in ${folder} yet`)
    const { clock } = world
    const house = pastHouse(household, profileOf, clock.now())
    const reports = openReports({
      house,
      store,
      diary: sqliteDiary(db),
      clock,
      catalogue: profileOf,
      pause: () => Promise.resolve(),
    })
    const page = await pageOf(reports, asked)
    if (!page.ok) throw new Error(page.sentence)
    if (asked.file === null) world.out(page.value)
    else writeFileSync(asked.file, page.value)
    return 0
  } finally {
    store.close()
  }
}

async function pageOf(
  reports: ReturnType<typeof openReports>,
  { season, animal }: { readonly season: string | null; readonly animal: string | null },
) {
  if (animal === null) return reports.seasonPage(season)
  const id = AnimalId.safeParse(animal)
  if (!id.success) throw new Error(`"${animal}" is not the id of an animal`)
  return reports.animalPage(id.data, season)
}
