import { describe, expect, test } from 'vitest'
import { filesOfRepository, readText, sourceFiles, topLevel } from './support/repository.ts'
import { breaches, cycles } from './support/rooms.ts'

const files = sourceFiles()

describe('the rooms', () => {
  test('every file imports only what its room allows, and shared/ is pure', () => {
    expect(files.length).toBeGreaterThan(20)
    expect(breaches(files)).toEqual([])
  })

  test('no files import one another in a ring', () => {
    expect(cycles(files)).toEqual([])
  })

  test('nothing stands at the top but the rooms, the two guides and what tools insist on', () => {
    const allowed = ['README.md', 'DEVELOPERS.md', 'package.json', 'tsconfig.json', ...rooms, ...insistedOn]
    expect(topLevel().filter((name) => !allowed.includes(name))).toEqual([])
  })

  const rooms = ['daemon', 'web', 'schemas', 'tests', 'fixtures', 'shared']
  const insistedOn = ['package-lock.json', '.gitignore', 'LICENSE', '.ci', 'biome.json', 'eslint.config.js']
})

describe('the check of the rooms itself', () => {
  test.each([
    ['shared/a.ts', "import { readFileSync } from 'node:fs'"],
    ['shared/a.ts', "import { z } from 'zod'"],
    ['shared/a.ts', "import type { Clock } from '../daemon/ports/clock.ts'"],
    ['schemas/a.ts', "import { night } from '../shared/time/night.ts'"],
    ['schemas/a.ts', "export * from '../shared/time/night.ts'"],
    ['daemon/ports/a.ts', "import type { Band } from '../../shared/judging/band.ts'"],
    ['daemon/app/a.ts', "import { sqliteStore } from '../sqlite/store.ts'"],
    ['daemon/app/a.ts', "const { sqliteStore } = await import('../sqlite/store.ts')"],
    ['daemon/app/a.ts', "type Store = import('../sqlite/store.ts').Store"],
    ['daemon/app/a.ts', 'const part = await import(name)'],
    ['daemon/mqtt/a.ts', "import { step } from '../../shared/judging/watch.ts'"],
    ['daemon/mqtt/a.ts', "import Database from 'better-sqlite3'"],
    ['daemon/http/a.ts', "import { sqliteStore } from '../sqlite/store.ts'"],
    ['daemon/practice/a.ts', "import { openHouse } from '../app/house.ts'"],
    ['web/a.tsx', "import { hash } from 'node:crypto'"],
    ['web/a.tsx', "import type { Desk } from '../daemon/ports/desk.ts'"],
    ['web/a.tsx', "import { h } from 'react'"],
    ['shared/a.ts', 'const at = Date.now()'],
    ['shared/a.ts', 'const at = new Date()'],
    ['shared/a.ts', 'const at = Date()'],
    ['shared/a.ts', 'const chance = Math.random()'],
    ['shared/a.ts', 'export async function later() {}'],
    ['shared/a.ts', 'const later = async () => 1'],
    ['shared/a.ts', 'setTimeout(() => {}, 1)'],
    ['shared/a.ts', 'const zone = process.env'],
    ['shared/a.ts', "void fetch('x')"],
    ['elsewhere/a.ts', ''],
  ])('refuses in %s: %s', (path, text) => {
    expect(breaches([{ path, text }])).toHaveLength(1)
  })

  test.each([
    ['shared/a.ts', "import { Band } from '../schemas/band.ts'\nconst day = new Date(5)"],
    ['shared/a.ts', '// Date.now() and setTimeout are not called\nconst o = { process: 1 }; o.process'],
    [
      'daemon/sqlite/a.ts',
      "import Database from 'better-sqlite3'\nimport type { Store } from '../ports/store.ts'",
    ],
    ['daemon/cli/a.ts', "import { runDaemon } from '../main.ts'\nimport { parse } from 'yaml'"],
    [
      'web/a.tsx',
      "import { useState } from 'preact/hooks'\nimport { words } from '../shared/telling/words.ts'",
    ],
  ])('lets pass in %s: %s', (path, text) => {
    expect(breaches([{ path, text }])).toEqual([])
  })

  test('sees a ring of three, and none in a chain', () => {
    const a = { path: 'shared/a.ts', text: "import './x/b.ts'" }
    const b = { path: 'shared/x/b.ts', text: "import type { C } from '../c.ts'" }
    const ring = { path: 'shared/c.ts', text: "export { a } from './a.ts'" }
    expect(cycles([a, b, ring])).toEqual(['shared/a.ts → shared/x/b.ts → shared/c.ts → shared/a.ts'])
    expect(cycles([a, b, { ...ring, text: '' }])).toEqual([])
  })
})

describe('what is written', () => {
  /** Paths of one machine, addresses of package registries, numbered issues: they mean nothing to a reader elsewhere. */
  const foreign = [
    new RegExp(['/ho', 'me/\\w'].join('')),
    new RegExp(['/wo', 'rk/'].join('')),
    new RegExp(['/Us', 'ers/\\w'].join('')),
    new RegExp(['/ro', 'ot/\\w'].join('')),
    new RegExp(['//[\\w.-]*regis', 'try\\b'].join(''), 'i'),
  ]
  const foreignIn = (text: string): string[] =>
    text.split('\n').filter((line) => foreign.some((pattern) => pattern.test(line)))

  test('no file speaks of the machine that it was written on', () => {
    const written = filesOfRepository().filter((path) => !/\.(?:bin|db|png|woff2?|ico|gz)$/.test(path))
    expect(written.flatMap((path) => foreignIn(readText(path)).map((line) => `${path}: ${line}`))).toEqual([])
  })

  test.each(['see /ho' + 'me/ann/x', 'in /wo' + 'rk/main', 'https://regis' + 'try.example.org/x'])(
    'and the check would see it: %s',
    (line) => expect(foreignIn(`fine\n${line}\n`)).toEqual([line]),
  )

  test('every rule that a test or a source cites stands in DEVELOPERS.md', () => {
    const known = new Set(rulesIn(readText('DEVELOPERS.md')))
    expect(known.size).toBeGreaterThan(25)
    const citing = filesOfRepository().filter((path) =>
      /^(?:daemon|shared|schemas|web|tests)\/.*\.tsx?$/.test(path),
    )
    const unknown = citing
      .filter((path) => !path.endsWith('layers.test.ts'))
      .flatMap((path) => citedIn(readText(path)).map((rule) => ({ path, rule })))
      .filter(({ rule }) => !known.has(rule))
    expect(unknown).toEqual([])
  })

  test('a rule is told from a number of another kind', () => {
    expect(citedIn("test('L3, A2: …')\n/** Bounded (X3). */")).toEqual(['L3', 'A2', 'X3'])
    expect(citedIn('N = 2 ** 15; BS1, SN74; Figure S1')).toEqual([])
    expect(rulesIn('- **L1** (built) A limit\n- N3 not a rule')).toEqual(['L1'])
  })
})

/** Cited as `(X3)`, or before the colon of a test's name: `L3, A2: …`. */
function citedIn(text: string): string[] {
  const lists = [
    ...text.matchAll(/\(((?:[LANSX]\d{1,2})(?:, [LANSX]\d{1,2})*)\)/g),
    ...text.matchAll(/['"`]((?:[LANSX]\d{1,2})(?:, [LANSX]\d{1,2})*): /g),
  ]
  return lists.sort((a, b) => a.index - b.index).flatMap(([, list]) => (list ?? '').split(', '))
}

const rulesIn = (text: string): string[] =>
  [...text.matchAll(/^- \*\*([LANSX]\d{1,2})\*\*/gm)].map(([, rule]) => rule ?? '')
