import { readdirSync, readFileSync } from 'node:fs'
import { gzipSync } from 'node:zlib'
import { describe, expect, test } from 'vitest'

/**
 * What each screen of the built page takes in scripts, from the import statements of its files. What a screen fetches
 * later (its curves) counts as its own; what another screen fetches does not.
 */
const assets = new URL('../../dist/web/assets/', import.meta.url)
const scripts = new Map(
  readdirSync(assets)
    .filter((name) => name.endsWith('.js'))
    .map((name) => [name, readFileSync(new URL(name, assets), 'utf8')]),
)
const found = (name: string, pattern: RegExp): string[] =>
  [...(scripts.get(name) ?? '').matchAll(pattern)].map(([, file = '']) => file)
const importsOf = (name: string) => found(name, /(?:\bfrom|\bimport)\s*["']\.\/([\w-]+\.js)["']/g)
const laterOf = (name: string) => found(name, /\bimport\(\s*["'`]\.\/([\w-]+\.js)["'`]/g)
const nameOf = (file: string): string => file.replace(/-[\w-]{8}\.js$/, '')

/** All that comes with these files, at once or, where it is `wanted`, later. */
function withAll(roots: readonly string[], wanted: (file: string) => boolean): Set<string> {
  const all = new Set(roots)
  for (const file of all)
    for (const next of [...importsOf(file), ...laterOf(file).filter(wanted)]) all.add(next)
  return all
}

const weigh = (files: Iterable<string>): number =>
  [...files].reduce((sum, file) => sum + gzipSync(scripts.get(file) ?? '', { level: 9 }).length, 0)

const filesOf = (...names: string[]): string[] =>
  [...scripts.keys()].filter((file) => names.includes(nameOf(file)))
const isScreen = (file: string): boolean => /(?:-screen|first-set-up)$/.test(nameOf(file))
const screens = [...scripts.keys()].filter(isScreen)
const begun = filesOf('index', 'dashboard')

/** Whose charts are curves of readings. */
const withCurves = ['place-screen', 'winter-screen']
const isCurves = (file: string): boolean => nameOf(file) === 'night-plot'
const isElsewhere = (file: string): boolean => isScreen(file) || nameOf(file) === 'begin'

describe('the scripts of the built page', () => {
  test('are all read by this test: each belongs to a screen, to the page of a message’s link or to the start', () => {
    expect(filesOf('dashboard', 'begin', 'night-plot', ...withCurves)).toHaveLength(5)
    expect(screens.length).toBeGreaterThanOrEqual(17)
    const reached = withAll(filesOf('index'), () => true)
    expect([...scripts.keys()].filter((file) => !reached.has(file))).toEqual([])
  })

  test('on Tonight are less than 90 kB, gzip, with curves', () => {
    const files = withAll(begun, (file) => !isElsewhere(file))
    expect(weigh(files)).toBeLessThan(90_000)
    expect(weigh(files)).toBeGreaterThan(60_000)
  })

  test.each(screens.map((file) => [nameOf(file), file]))('are less than 90 kB, gzip, at %s', (name, file) => {
    const draws = withCurves.includes(name)
    const files = withAll([...begun, file], (later) => !isElsewhere(later) && (draws || !isCurves(later)))
    expect(weigh(files)).toBeLessThan(90_000)
    expect(weigh(files)).toBeGreaterThan(40_000)
  })

  test('are less than 27 kB, gzip, at the link of a message', () => {
    const files = withAll(
      filesOf('index', 'begin'),
      (file) => !isScreen(file) && nameOf(file) !== 'dashboard',
    )
    expect(weigh(files)).toBeLessThan(27_000)
  })
})
