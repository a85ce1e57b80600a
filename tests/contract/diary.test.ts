import { beforeEach, describe, expect, test } from 'vitest'
import { mostRows } from '../../daemon/app/diary-rules.ts'
import { notStored } from '../../daemon/app/not-stored.ts'
import { EntryId, PictureId } from '../../schemas/ids.ts'
import { aPicture } from '../support/diary-lines.ts'
import { type DiaryWorldForTest, diaryWorld, entryOf, fillUp, noon } from '../support/diary-world.ts'

let world: DiaryWorldForTest
beforeEach(() => {
  world = diaryWorld()
})

const save = (given: Parameters<typeof entryOf>[0] = {}, by = 'Ada') =>
  world.desk.saveEntry(entryOf(given), by)
const errorOf = (outcome: { ok: true } | { ok: false; error: string }) =>
  outcome.ok ? 'none' : outcome.error

describe('a note', () => {
  test('is kept with who noted it and when, is told to whoever looks, and the journal is silent about it', () => {
    const line = { ...entryOf(), by: 'Ada', notedAt: noon }
    expect(save()).toEqual({ ok: true, value: line })
    expect(world.desk.diary({})).toEqual([line])
    expect(world.told).toEqual([{ kind: 'diary', animal: 'pebble' }])
    expect(world.journal).toEqual([])
  })

  test('of a place is told as that place’s', () => {
    expect(save({ place: 'box-1', note: { kind: 'aired' } }).ok).toBe(true)
    expect(world.told).toEqual([{ kind: 'diary', place: 'box-1' }])
  })

  test('sent twice is one, in the words of whoever was first', () => {
    const first = save()
    world.move(60_000)
    expect(save({}, 'Bo')).toEqual(first)
    expect(world.store.rows(entryOf())).toBe(1)
    expect(world.told).toHaveLength(1)
  })

  test.each([
    ['an animal that is not there', { animal: 'nobody' }, 'noSuchAnimal'],
    ['a place that is not there', { place: 'nowhere', note: { kind: 'aired' } }, 'noSuchPlace'],
    ['a time more than a minute ahead', { at: noon + 60_001 }, 'inFuture'],
    ['what Brumal writes by itself', { note: { kind: 'warmingBegan', why: 'x' } }, 'notByHand'],
    ['what Brumal writes by itself, too', { note: { kind: 'coolingBegan', steps: [] } }, 'notByHand'],
    ['a picture that was not sent', { note: { kind: 'photographed', picture: 'none' } }, 'noSuchPicture'],
  ])('of %s is refused', (_, given, error) => {
    expect(errorOf(save(given))).toBe(error)
    expect(world.desk.diary({})).toEqual([])
    expect(world.told).toEqual([])
  })

  test('L5: of a minute ahead is taken, as a phone’s clock may be', () => {
    expect(save({ at: noon + 60_000 }).ok).toBe(true)
  })

  test('of a picture that was sent is taken', () => {
    world.desk.savePicture(aPicture.id, aPicture)
    expect(save({ note: { kind: 'photographed', picture: aPicture.id } }).ok).toBe(true)
  })

  test('of an animal that has left stays to be read', () => {
    save()
    world.rehouse((household) => ({ ...household, animals: [] }))
    expect(world.desk.diary({})).toHaveLength(1)
    expect(world.desk.exportDiary()).toContain('pebble')
  })
})

describe('a correction', () => {
  test('takes the place of what was noted, and the journal says what changed and by whom', () => {
    save()
    world.move(1000)
    save({ note: { kind: 'weighed', grams: 821 } })
    expect(world.desk.diary({}).map(({ note }) => note)).toEqual([{ kind: 'weighed', grams: 821 }])
    expect(world.journal).toEqual([
      {
        at: noon + 1000,
        kind: 'noted',
        by: 'Ada',
        animal: 'pebble',
        text: '“Weighed: 812 g” of Pebble on 2026-11-12 was changed to “Weighed: 821 g”.',
      },
    ])
  })

  test('that moves it to another animal is told of both', () => {
    save()
    save({ animal: 'moss' })
    expect(world.journal.at(-1)?.text).toBe(
      '“Weighed: 812 g” of Pebble on 2026-11-12 was changed to “Weighed: 812 g” of Moss on 2026-11-12.',
    )
    expect(world.told.slice(1)).toEqual([
      { kind: 'diary', animal: 'moss' },
      { kind: 'diary', animal: 'pebble' },
    ])
    expect(world.desk.diary({ animal: entryOf().animal ?? ('' as never) })).toEqual([])
  })

  test('of what Brumal wrote itself is refused, and so is its removal: past winters are read from it', () => {
    const line = { ...entryOf({ note: { kind: 'warmingBegan', why: 'spring' } }), by: 'Ada', notedAt: noon }
    world.store.saveEntries([line])
    expect(errorOf(save())).toBe('notByHand')
    expect(errorOf(world.desk.removeEntry(line.id, 'Ada'))).toBe('notByHand')
    expect(world.desk.diary({})).toEqual([line])
  })

  test('X1: of somebody else’s note is refused to whoever may change only their own', () => {
    save()
    const other = entryOf({ note: { kind: 'weighed', grams: 1 } })
    expect(errorOf(world.desk.saveEntry(other, 'Bo', 'own'))).toBe('notYours')
    expect(errorOf(world.desk.removeEntries([other.id], 'Bo', 'own'))).toBe('notYours')
    expect(world.desk.saveEntry(other, 'Ada', 'own').ok).toBe(true)
    expect(world.desk.removeEntries([other.id], 'Ada', 'own').ok).toBe(true)
  })
})

describe('a removal', () => {
  test('hides it, is journalled once, and does nothing the second time', () => {
    save()
    const id = EntryId.parse('first')
    expect(world.desk.removeEntry(id, 'Ada')).toEqual({ ok: true, value: null })
    expect(world.desk.removeEntry(id, 'Ada')).toEqual({ ok: true, value: null })
    expect(world.desk.diary({})).toEqual([])
    expect(world.journal.map(({ text }) => text)).toEqual([
      '“Weighed: 812 g” of Pebble on 2026-11-12 was removed.',
    ])
  })

  test('is undone by sending it again', () => {
    save()
    world.desk.removeEntry(EntryId.parse('first'), 'Ada')
    expect(save().ok).toBe(true)
    expect(world.desk.diary({})).toHaveLength(1)
  })

  test('of several is one line of the journal', () => {
    save()
    save({ id: 'second' })
    const ids = ['first', 'second', 'never-there'].map((id) => EntryId.parse(id))
    expect(world.desk.removeEntries(ids, 'Ada').ok).toBe(true)
    expect(world.desk.diary({})).toEqual([])
    expect(world.journal.map(({ text }) => text)).toEqual(['2 entries of the diary were removed.'])
  })
})

describe('X3: a diary', () => {
  test('holds so many rows of one animal and no more, while others’ go on', () => {
    const { db } = world
    const insert = db.prepare(
      "INSERT INTO diary (id, at, animal, kind, entry, noted_by, noted_at) VALUES (?, 0, 'pebble', 'looked', NULL, 'Ada', 0)",
    )
    db.transaction(() => {
      for (let i = 0; i < mostRows - 1; i++) insert.run(`row-${i}`)
    })()
    expect(save().ok).toBe(true)
    const full = save({ id: 'second' })
    expect(full).toEqual({
      ok: false,
      error: 'tooMany',
      sentence: 'The diary of Pebble is full: it holds 20000 entries and changes.',
    })
    expect(save({ id: 'second', animal: 'moss' }).ok).toBe(true)
    expect(save().ok, 'what stands is no new row').toBe(true)
  })
})

describe('N2: with the disk full', () => {
  const asLongAsItTakes = (act: (i: number) => { ok: boolean }) => {
    for (let i = 0; i < 500; i++) if (!act(i).ok) return i
    throw new Error('the disk took everything')
  }
  const long = 'x'.repeat(900)

  test('a note, a removal and a picture are refused in words, and what was there can be read', () => {
    save()
    fillUp(world.db)
    const taken = asLongAsItTakes((i) => save({ id: `more-${i}`, text: long }))
    expect(save({ id: 'one-more', text: long })).toEqual(notStored)
    const short = asLongAsItTakes((i) => save({ id: `short-${i}`, note: { kind: 'looked' } }))
    expect(world.desk.diary({})).toHaveLength(1 + taken + short)
    let refused: unknown = null
    for (const { id } of world.desk.diary({})) {
      const outcome = world.desk.removeEntry(id, 'Ada')
      if (!outcome.ok) refused = outcome
    }
    expect(refused).toEqual(notStored)
    const bytes = new Uint8Array(100_000)
    bytes.set(aPicture.bytes)
    expect(world.desk.savePicture(aPicture.id, { type: 'image/png', bytes })).toEqual(notStored)
    expect(
      world.desk.importDiary('date,animal,note\n2026-11-01,pebble,' + long.repeat(1), false, 'Ada'),
    ).toEqual(notStored)
    const before = world.told.length
    expect(save({ id: 'one-more', text: long })).toEqual(notStored)
    expect(world.told).toHaveLength(before)
  })

  test('what is no fault of the disk is not hidden', () => {
    world.db.exec('DROP TABLE diary')
    expect(() => save()).toThrow()
  })
})

test('an id of another length is another entry, and the longest name of who noted it is cut to what is kept', () => {
  const by = `${'a script with a long name '.repeat(3)}(token of Ada)`
  expect(save({}, by)).toMatchObject({ ok: true, value: { by: by.slice(0, 60) } })
  expect(world.desk.saveEntry(entryOf({ note: { kind: 'looked' } }), by, 'own').ok).toBe(true)
  expect(world.desk.picture(PictureId.parse('none'))).toBeNull()
})
