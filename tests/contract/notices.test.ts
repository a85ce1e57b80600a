import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { httpHouse } from '../support/http-house.ts'
import { readText, root } from '../support/repository.ts'

interface Sbom {
  readonly serialNumber: string
  readonly components: readonly {
    readonly 'bom-ref': string
    readonly purl: string
    readonly licenses: readonly unknown[]
    readonly hashes?: readonly unknown[]
  }[]
  readonly dependencies: readonly { readonly ref: string; readonly dependsOn: readonly string[] }[]
}

let folder: string
let text: string
let sbom: Sbom
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'brumal-notices-'))
  write()
  text = readFileSync(join(folder, 'THIRD-PARTY-NOTICES.txt'), 'utf8')
  sbom = JSON.parse(readFileSync(join(folder, 'sbom.json'), 'utf8')) as Sbom
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const licencesPath = new URL('../../daemon/notices/licences.mjs', import.meta.url).href
const write = () => execFileSync(process.execPath, [join(root, 'daemon/notices/write-notices.mjs'), folder])

const versionIn = (path: string): string => (JSON.parse(readText(path)) as { version: string }).version
const database = {
  here: versionIn('node_modules/better-sqlite3/package.json'),
  locked: (JSON.parse(readText('package-lock.json')) as { packages: Record<string, { version: string }> })
    .packages['node_modules/better-sqlite3']?.version,
}

describe('whose work Brumal is made with', () => {
  test('is named with version, licence and its text: the daemon’s packages, the page’s, and the database itself', () => {
    const own = JSON.parse(readText('package.json')) as { dependencies: Record<string, string> }
    const page = ['preact', '@preact/signals', '@preact/signals-core', 'uplot']
    for (const name of [...Object.keys(own.dependencies), ...page, 'sqlite'])
      expect(text).toMatch(new RegExp(`^- ${name} \\d+\\.\\d+\\.\\d+\\S*: \\S`, 'm'))
    expect(text.match(/Permission is hereby granted/g)?.length).toBeGreaterThan(20)
    expect(text).toMatch(/Mozilla Public\s+License, v\. 2\.0/)
    expect(text).not.toContain(root)
  })

  test('what only builds and tests is not passed on, and not named', () => {
    expect(text).not.toMatch(/^- (?:vite|typescript|vitest|eslint|prebuild-install|@types\/\S+) /m)
  })

  test('the list for machines agrees with npm’s own reading of the lock', () => {
    const asked = ['sbom', '--omit', 'dev', '--package-lock-only', '--sbom-format', 'cyclonedx']
    const npms = JSON.parse(execFileSync('npm', asked, { cwd: root, encoding: 'utf8' })) as Sbom
    const ours = new Set(sbom.components.map(({ purl }) => purl))
    const missing = npms.components.filter(({ purl }) => !ours.has(purl)).map((one) => one['bom-ref'])
    // What fetches a compiled package or types another one stays behind, with what it needs itself
    const behind = new Set(missing.filter((ref) => /^(?:prebuild-install@|@types\/)/.test(ref)))
    expect(behind.size).toBeGreaterThan(0)
    // Where this Node wants another database than the lock names, the list has the one that is here (daemon/bootstrap.mjs)
    expect(ours).toContain(`pkg:npm/better-sqlite3@${database.here}`)
    if (database.here !== database.locked) behind.add(`better-sqlite3@${database.locked}`)
    for (const ref of behind)
      for (const next of npms.dependencies.find((one) => one.ref === ref)?.dependsOn ?? []) behind.add(next)
    expect(missing.filter((ref) => !behind.has(ref))).toEqual([])
  })

  test('each part has a licence and a hash, is named once, and needs only parts that are named', () => {
    const refs = sbom.components.map(({ purl }) => purl)
    expect(new Set(refs).size).toBe(refs.length)
    const bare = sbom.components.filter(
      ({ licenses, hashes }) => licenses.length !== 1 || hashes === undefined,
    )
    // The lock holds the hash of its own database alone
    const fetched = database.here === database.locked ? [] : ['pkg:npm/better-sqlite3']
    expect(new Set(bare.map(({ purl }) => purl.split('@')[0]))).toEqual(
      new Set(['pkg:generic/sqlite', ...fetched]),
    )
    const known = new Set([...refs, 'pkg:npm/brumal@0.1.0'])
    for (const { ref, dependsOn } of sbom.dependencies)
      expect([ref, ...dependsOn].filter((one) => !known.has(one))).toEqual([])
    expect(sbom.serialNumber).toMatch(
      /^urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/,
    )
  })

  test('the same packages give the same files to the byte', () => {
    const before = readFileSync(join(folder, 'sbom.json'))
    write()
    expect(readFileSync(join(folder, 'sbom.json')).equals(before)).toBe(true)
    expect(readFileSync(join(folder, 'THIRD-PARTY-NOTICES.txt'), 'utf8')).toBe(text)
  })
})

describe('a licence', () => {
  const party = (licence: string) => ({ name: 'newt', version: '1.0.0', licence })
  const objections = async (licence: string): Promise<string[]> => {
    const rules = (await import(licencesPath)) as { objectionsTo(parties: readonly object[]): string[] }
    return rules.objectionsTo([party('MIT'), party(licence)])
  }

  test.each([
    'MIT',
    'ISC',
    '(MIT OR GPL-3.0-only)',
    'MIT AND BSD-3-Clause',
    '(BSD-2-Clause OR MIT OR Apache-2.0)',
  ])('lets its work be passed on: %s', async (licence) => expect(await objections(licence)).toEqual([]))

  test.each(['GPL-3.0-only', 'MIT AND GPL-3.0-only', 'SEE LICENSE IN x', 'UNLICENSED', 'mit', '(MIT'])(
    'does not: %s',
    async (licence) =>
      expect(await objections(licence)).toEqual([
        `newt 1.0.0 is under ${licence}, which is not among the licences that may be passed on.`,
      ]),
  )

  test('is asked for where a work has none', async () => {
    expect(await objections('')).toEqual(['newt 1.0.0 has no licence.'])
  })
})

describe('the notices on the page', () => {
  test('X1: are shown as plain text to whoever is signed in, and to nobody else', async () => {
    const house = await httpHouse({ webRoot: join(root, 'dist/web') })
    const shown = await house.as(await house.signedIn('sitter'), 'GET', '/notices.txt')
    expect([shown.statusCode, shown.headers['content-type']]).toEqual([200, 'text/plain; charset=utf-8'])
    expect(shown.body).toContain('- fastify ')
    expect((await house.app.inject({ url: '/notices.txt' })).statusCode).toBe(401)
    await house.close()
  })
})
