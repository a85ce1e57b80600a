// node daemon/notices/write-notices.mjs [folder]   (npm run notices; without a folder into dist/)
// Writes THIRD-PARTY-NOTICES.txt and sbom.json, or says whose work may not be passed on and ends with 1.
// Plain JavaScript on purpose: the build runs it before anything is compiled.
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { objectionsTo } from './licences.mjs'
import { noticesText } from './notices-text.mjs'
import { sbomOf } from './sbom.mjs'
import { directNames, thirdParties } from './third-parties.mjs'

const root = fileURLToPath(new URL('../..', import.meta.url))
const folder = process.argv[2] ?? join(root, 'dist')

const parties = thirdParties()
const objections = objectionsTo(parties)
if (objections.length > 0) {
  process.stderr.write(`${objections.join('\n')}\n`)
  process.exitCode = 1
} else {
  const own = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'))
  writeFileSync(join(folder, 'THIRD-PARTY-NOTICES.txt'), noticesText(parties))
  writeFileSync(
    join(folder, 'sbom.json'),
    `${JSON.stringify(sbomOf(own, parties, directNames()), null, 2)}\n`,
  )
}
