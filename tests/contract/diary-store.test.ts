import type { Database } from 'better-sqlite3'
import fc from 'fast-check'
import { afterEach, beforeEach, expect, test } from 'vitest'
import type { Store } from '../../daemon/ports/store.ts'
import type { DiaryStore } from '../../daemon/ports/season.ts'
import { sqliteDiary } from '../../daemon/sqlite/diary.ts'
import { instant } from '../../schemas/amounts.ts'
import type { DiaryLine } from '../../schemas/diary.ts'
import { AnimalId, EntryId, PictureId, PlaceId } from '../../schemas/ids.ts'
import { aPicture, feeding, weighIn } from '../support/diary-lines.ts'
import { householdNamed } from '../support/kept-house.ts'
import { clock, openStore, temporaryFolder } from '../support/store-world.ts'

let folder: ReturnType<typeof temporaryFolder>
let db: Database
let store: Store
let diary: DiaryStore
beforeEach(() => {
  folder = temporaryFolder()
  ;({ db, store } = openStore(folder.path))
  diary = sqliteDiary(db)
})
afterEach(() => {
  store.close()
  folder.remove()
})

const animals = ['pebble', 'moss'].map((id) => AnimalId.parse(id))
const places = ['box-1'].map((id) => PlaceId.parse(id))
const id = fc.integer({ min: 0, max: 5 }).map((n) => EntryId.parse(`entry-${n}`))
const about = fc.constantFrom(...animals.map((animal) => ({ animal })), ...places.map((place) => ({ place })))
const note = fc.oneof(
  fc.integer({ min: 1, max: 9999 }).map((grams) => ({ kind: 'weighed', grams }) as const),
  fc.constant({ kind: 'looked' } as const),
)
const line = fc.record({ id, about, note, hour: fc.integer({ min: 0, max: 20 }) }).map(
  ({ id, about, note, hour }): DiaryLine => ({
    id,
    at: clock(hour),
    ...about,
    note,
    by: 'Ada',
    notedAt: clock(21),
  }),
)
const act = fc.oneof(
  { weight: 3, arbitrary: fc.array(line, { minLength: 1, maxLength: 3 }).map((lines) => ({ save: lines })) },
  { weight: 1, arbitrary: fc.array(id, { minLength: 1, maxLength: 3 }).map((ids) => ({ remove: ids })) },
)

test('whatever is noted, changed, removed and brought back, in any order: what stands is what was sent last', () => {
  fc.assert(
    fc.property(fc.array(act, { maxLength: 25 }), (acts) => {
      db.exec('DELETE FROM diary')
      const model = new Map<string, DiaryLine>()
      let rows = 0
      for (const act of acts) {
        if ('save' in act) {
          diary.saveEntries(act.save)
          for (const one of act.save) model.set(one.id, one)
          rows += act.save.length
        } else {
          diary.removeEntries(act.remove, 'Bo', clock(22))
          for (const one of act.remove) rows += model.delete(one) ? 1 : 0
        }
      }
      const standing = [...model.values()]
      const inOrder = (lines: readonly DiaryLine[]) => lines.toSorted((a, b) => (a.id < b.id ? -1 : 1))
      expect(inOrder(diary.entries({}))).toEqual(inOrder(standing))
      const times = diary.entries({}).map(({ at }) => at)
      expect(times).toEqual(times.toSorted((a, b) => b - a))
      for (const animal of animals)
        expect(inOrder(diary.entries({ animal, kinds: ['weighed'], from: clock(5), to: clock(10) }))).toEqual(
          inOrder(
            standing.filter(
              (one) =>
                one.animal === animal &&
                one.note.kind === 'weighed' &&
                one.at >= clock(5) &&
                one.at < clock(10),
            ),
          ),
        )
      expect(inOrder(diary.entries({ place: places[0] as PlaceId }))).toEqual(
        inOrder(standing.filter(({ place }) => place !== undefined)),
      )
      expect(diary.entries({ limit: 2 })).toEqual(diary.entries({}).slice(0, 2))
      for (const one of ['entry-0', 'entry-5'].map((text) => EntryId.parse(text)))
        expect(diary.entry(one)).toEqual(model.get(one) ?? null)
      // nothing is written over
      expect(Number(db.prepare('SELECT count(*) FROM diary').pluck().get())).toBe(rows)
    }),
    { numRuns: 150 },
  )
}, 30_000)

/** It breaks as it is written: after what came before it in the same transaction. */
const unwritable = { ...feeding, note: { ...feeding.note, food: 1n } } as unknown as DiaryLine

test('of several entries that come together all are kept, or none', () => {
  expect(() => diary.saveEntries([weighIn(812), unwritable])).toThrow(/BigInt/)
  expect(diary.entries({})).toEqual([])
  diary.saveEntries([weighIn(812), feeding])
  expect(diary.entries({})).toHaveLength(2)
})

test('L7: an act in the diary is kept with the household that it changed and its line of the journal, or none of them is', () => {
  store.commit({ readings: [], journal: [], household: householdNamed('Before') })
  const line = { at: clock(2), kind: 'noted', by: 'Ada' } as const
  const batch = { readings: [], journal: [line], household: householdNamed('After') }
  expect(() => store.commit({ ...batch, diary: [weighIn(812), unwritable] })).toThrow(/BigInt/)
  expect(store.household()?.name).toBe('Before')
  expect(store.journal({ limit: 9 })).toEqual([])
  expect(diary.entries({})).toEqual([])
  store.commit({ ...batch, diary: [weighIn(812)] })
  expect(store.household()?.name).toBe('After')
  expect(store.journal({ limit: 9 })).toHaveLength(1)
  expect(diary.entries({})).toEqual([weighIn(812)])
})

test('rows are counted of each animal and place, changes and removals among them', () => {
  const other = { ...weighIn(5), id: EntryId.parse('other'), animal: AnimalId.parse('moss') }
  diary.saveEntries([weighIn(1), other])
  diary.saveEntries([weighIn(2)])
  diary.removeEntries([weighIn(2).id, EntryId.parse('nobody')], 'Ada', clock(3))
  expect(diary.rows(weighIn(1))).toBe(3)
  expect(diary.rows(other)).toBe(1)
  expect(diary.rows({ place: PlaceId.parse('box-1') })).toBe(0)
})

test('a picture stays while an entry names it, standing or hidden, or it is to be kept; others go once they are old', () => {
  const ids = ['shown', 'hidden', 'portrait', 'unused', 'young'].map((text) => PictureId.parse(text))
  const [shown, hidden, portrait, unused, young] = ids as [
    PictureId,
    PictureId,
    PictureId,
    PictureId,
    PictureId,
  ]
  for (const one of ids) diary.savePicture(one, aPicture, clock(one === young ? 2 : 1))
  const photographed = (picture: PictureId): DiaryLine => ({
    ...feeding,
    id: EntryId.parse(`of-${picture}`),
    note: { kind: 'photographed', picture },
  })
  diary.saveEntries([photographed(shown), photographed(hidden)])
  diary.removeEntries([EntryId.parse('of-hidden')], 'Ada', clock(3))
  expect(diary.pictures()).toEqual({ count: 5, bytes: 40 })
  diary.sweepPictures(clock(2), [portrait])
  expect(ids.filter((one) => diary.picture(one) !== null)).toEqual([shown, hidden, portrait, young])
  diary.sweepPictures(instant(clock(2) + 1), [])
  expect(ids.filter((one) => diary.picture(one) !== null)).toEqual([shown, hidden])
  expect(diary.picture(unused)).toBeNull()
})
