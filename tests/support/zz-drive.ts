import { writeFileSync } from 'node:fs'
import * as cast from './whole-winter-cast.ts'
import { liveThrough } from './whole-winter-story.ts'
const w = process.argv[2] === 'south' ? cast.south : cast.north
const t0 = Date.now()
liveThrough(w).then(async ({ told, house }) => {
  writeFileSync(`/tmp/winter-${w.name}.txt`, told.log)
  const { log: _, ...rest } = told
  writeFileSync(`/tmp/winter-${w.name}.json`, JSON.stringify({ ...rest, statuses: [...rest.statuses], wakeFirst: [...rest.wakeFirst], waking: [...rest.waking] }, null, 1))
  const r = await house.ask('keeper', 'GET', '/api/animals/bramble/report.html')
  writeFileSync(`/tmp/winter-${w.name}.html`, String(r.body))
  console.log('done', Date.now() - t0)
  await house.close()
}).catch((e) => { console.error(e); process.exit(1) })
