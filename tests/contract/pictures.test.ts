import { beforeEach, describe, expect, test } from 'vitest'
import { pictureBounds } from '../../daemon/app/pictures.ts'
import { pictureBytes } from '../../daemon/http/pictures.ts'
import { Problem } from '../../schemas/api.ts'
import { EntryId, PictureId } from '../../schemas/ids.ts'
import { type DiaryWorldForTest, diaryWorld, entryOf } from '../support/diary-world.ts'
import { allInAHouse } from '../support/http-house.ts'

const heads = {
  'image/jpeg': [0xff, 0xd8, 0xff, 0xe0],
  'image/png': [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a],
  'image/webp': [0x52, 0x49, 0x46, 0x46, 1, 2, 3, 4, 0x57, 0x45, 0x42, 0x50],
} as const
type Type = keyof typeof heads

/** Bytes that begin as such a picture does. */
function pictureOf(type: Type, length = 40, fill = 7): Buffer {
  const bytes = Buffer.alloc(length, fill)
  bytes.set(heads[type])
  return bytes
}

describe('pictures over HTTP', () => {
  const house = allInAHouse('keeper', 'sitter')

  const send = (
    id: string,
    type: string,
    payload: Buffer | string,
    more: Record<string, string> = { cookie: house.sitter },
  ) =>
    house.app.inject({
      method: 'PUT',
      url: `/api/pictures/${id}`,
      headers: { 'content-type': type, ...more },
      payload,
    })
  const see = (id: string, cookie = house.keeper) => house.as(cookie, 'GET', `/api/pictures/${id}`)
  const refusalOf = (answer: Awaited<ReturnType<typeof send>>) => {
    const { status, code } = Problem.parse(answer.json())
    return [status, code]
  }

  test.each(Object.keys(heads) as Type[])(
    'of %s comes back byte for byte, as what it is, shown in the page and kept by this browser alone',
    async (type) => {
      const bytes = pictureOf(type)
      const id = type.slice(6)
      expect((await send(id, type, bytes)).statusCode).toBe(204)
      const answer = await see(id)
      expect(answer.rawPayload.equals(bytes)).toBe(true)
      expect(answer.headers).toMatchObject({
        'content-type': type,
        'content-length': String(bytes.length),
        'x-content-type-options': 'nosniff',
        'cache-control': 'private, max-age=86400',
        'content-disposition': `inline; filename="${id}.${id}"`,
      })
      expect(answer.headers['content-security-policy']).toContain("default-src 'self'")
    },
  )

  test('sent twice is one, and another under the same id is refused', async () => {
    const bytes = pictureOf('image/png')
    for (let i = 0; i < 2; i++) expect((await send('twice', 'image/png', bytes)).statusCode).toBe(204)
    expect(refusalOf(await send('twice', 'image/png', pictureOf('image/png', 40, 8)))).toEqual([
      409,
      'idTaken',
    ])
    expect((await see('twice')).rawPayload.equals(bytes)).toBe(true)
  })

  test.each([
    ['a page', 'image/png', Buffer.from('<!doctype html><script>alert(1)</script>')],
    ['a drawing with scripts', 'image/jpeg', Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"/>')],
    ['a picture of another type', 'image/png', pictureOf('image/jpeg')],
    ['nothing', 'image/png', Buffer.alloc(0)],
    ['a type that is not taken', 'image/gif', Buffer.from('GIF89a')],
    ['a vector graphic', 'image/svg+xml', Buffer.from('<svg/>')],
    ['JSON', 'application/json', Buffer.from('{}')],
    ['JSON under the name of a picture', 'image/webp', Buffer.from('{}')],
  ])('X3: %s sent as %s is refused', async (_, type, bytes) => {
    const answer = await send('wrong', type, bytes)
    expect([answer.statusCode, answer.headers['content-type']?.toString().split(';')[0]]).toEqual([
      415,
      'application/problem+json',
    ])
    expect((await see('wrong')).statusCode).toBe(404)
  })

  test('X3: of up to 1 MiB is taken, and one byte more is refused in words', async () => {
    expect((await send('largest', 'image/jpeg', pictureOf('image/jpeg', pictureBytes))).statusCode).toBe(204)
    const answer = await send('larger', 'image/jpeg', pictureOf('image/jpeg', pictureBytes + 1))
    expect(refusalOf(answer)).toEqual([413, 'bodyTooLarge'])
    expect(Problem.parse(answer.json()).detail).toBe('The body is larger than 1024 KiB.')
  })

  test('X1: a stranger neither sends nor sees one, a page of another site sends none, a script does with its token', async () => {
    const bytes = pictureOf('image/png')
    await send('seen', 'image/png', bytes)
    expect((await see('seen', '')).statusCode).toBe(401)
    expect((await see('seen', house.sitter)).statusCode).toBe(200)
    expect((await send('strange', 'image/png', bytes, {})).statusCode).toBe(401)
    const across = { cookie: house.keeper, origin: 'https://elsewhere.example' }
    expect(refusalOf(await send('strange', 'image/png', bytes, across))).toEqual([403, 'crossSite'])
    const [look, act] = [await house.token('look'), await house.token('act')]
    expect((await send('strange', 'image/png', bytes, { authorization: `Bearer ${look}` })).statusCode).toBe(
      403,
    )
    expect((await send('scripted', 'image/png', bytes, { authorization: `Bearer ${act}` })).statusCode).toBe(
      204,
    )
    expect((await see('strange')).statusCode).toBe(404)
  })

  test('no other route takes a picture for its body', async () => {
    const headers = { 'content-type': 'image/png', cookie: house.keeper }
    const payload = pictureOf('image/png')
    const answer = await house.app.inject({ method: 'PUT', url: '/api/animals/x', headers, payload })
    expect(refusalOf(answer)).toEqual([415, 'notJson'])
  })
})

describe('pictures that are kept', () => {
  let world: DiaryWorldForTest
  beforeEach(() => {
    world = diaryWorld()
  })
  const day = 86_400_000
  const idOf = (text: string) => PictureId.parse(text)
  const send = (id: string, bytes = pictureOf('image/png')) =>
    world.desk.savePicture(idOf(id), { type: 'image/png', bytes })
  const isThere = (id: string) => world.desk.picture(idOf(id)) !== null

  test('go a day after they were sent, as the next one comes, where no entry named them', () => {
    send('unused')
    send('shown')
    send('portrait')
    const photographed = entryOf({ id: 'photo', note: { kind: 'photographed', picture: 'shown' } })
    world.desk.saveEntry(photographed, 'Ada')
    world.rehouse((household) => ({
      ...household,
      animals: household.animals.map((animal) => ({ ...animal, portrait: idOf('portrait') })),
    }))
    world.move(day)
    send('next')
    expect(isThere('unused')).toBe(true)
    world.move(1)
    send('another')
    expect(['unused', 'shown', 'portrait', 'next'].map(isThere)).toEqual([false, true, true, true])
    world.desk.removeEntries([EntryId.parse('photo')], 'Ada')
    world.move(2 * day)
    send('last')
    expect(isThere('shown')).toBe(true) // the removal can be taken back
    expect(world.desk.saveEntry(photographed, 'Ada').ok).toBe(true)
  })

  test('X3: are bounded by their count and their bytes', () => {
    const insert = world.db.prepare(
      "INSERT INTO picture (id, type, bytes, saved_at) VALUES (?, 'image/png', zeroblob(?), ?)",
    )
    world.db.transaction(() => {
      for (let i = 0; i < pictureBounds.count - 1; i++) insert.run(`kept-${i}`, 1, world.now())
    })()
    expect(send('the-last').ok).toBe(true)
    expect(send('one-more')).toMatchObject({ ok: false, error: 'tooMany' })
    expect(send('the-last').ok, 'it is there already').toBe(true)
    world.db.exec('DELETE FROM picture')
    const large = 10_000_000
    for (let i = 0; i < pictureBounds.bytes / large - 1; i++) insert.run(`large-${i}`, large, world.now())
    insert.run('nearly', large - 40, world.now())
    expect(send('fits', pictureOf('image/png', 41))).toMatchObject({ ok: false, error: 'tooMany' })
    expect(send('fits', pictureOf('image/png', 40)).ok).toBe(true)
  })
})
