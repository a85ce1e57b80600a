import { parse } from 'csv-parse/sync'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { Problem } from '../../schemas/api.ts'
import { DiaryLine, ImportedDiary } from '../../schemas/diary.ts'
import { allInAHouse, type Method } from '../support/http-house.ts'

const house = allInAHouse('keeper', 'sitter')
beforeAll(async () => {
  await keep('PUT', '/api/animals/willow', {
    id: 'willow',
    name: 'Willow',
    species: 'bufo-bufo',
    place: 'fridge',
    mode: 'staysAwake',
  })
})
beforeEach(async () => {
  const lines = DiaryLine.array().parse((await keep('GET', '/api/diary')).json())
  if (lines.length > 0) await keep('POST', '/api/diary/removals', { entries: lines.map(({ id }) => id) })
})

const keep = (method: Method, url: string, body?: unknown) => house.as(house.keeper, method, url, body)
const sit = (method: Method, url: string, body?: unknown) => house.as(house.sitter, method, url, body)
/** The clock of `httpHouse`. */
const now = Date.parse('2026-12-24T21:00:00Z')
const entry = (id: string, more: object = {}) => ({
  id,
  at: now - 60_000,
  animal: 'willow',
  note: { kind: 'weighed', grams: 31.5 },
  ...more,
})
const put = (who: typeof keep, id: string, more: object = {}) =>
  who('PUT', `/api/diary/${id}`, entry(id, more))
const list = async (query = '') => DiaryLine.array().parse((await sit('GET', `/api/diary${query}`)).json())
const refusalOf = (answer: Awaited<ReturnType<typeof keep>>) => {
  expect(answer.headers['content-type']).toMatch(/^application\/problem\+json/)
  const { status, code } = Problem.parse(answer.json())
  expect(status).toBe(answer.statusCode)
  return [status, code]
}

describe('noting over HTTP', () => {
  test('gives the entry as it is kept, and everybody signed in can read it, asked by what it is about, kind and time', async () => {
    const answer = await put(keep, 'one')
    expect(answer.statusCode).toBe(200)
    const line = DiaryLine.parse(answer.json())
    expect(line).toEqual({ ...entry('one'), by: 'Ada', notedAt: now })
    await put(sit, 'two', { animal: undefined, place: 'fridge', note: { kind: 'aired' }, at: 5 })
    expect((await list()).map(({ id, by }) => `${id} ${by}`)).toEqual(['one Ada', 'two Bo'])
    const ids = async (query: string) => (await list(query)).map(({ id }) => id)
    expect(await ids('?animal=willow')).toEqual(['one'])
    expect(await ids('?place=fridge')).toEqual(['two'])
    expect(await ids('?kind=aired')).toEqual(['two'])
    expect(await ids('?kind=aired&kind=weighed')).toEqual(['one', 'two'])
    expect(await ids('?from=5&to=6')).toEqual(['two'])
    expect(await ids('?from=6')).toEqual(['one'])
    expect(await ids('?to=5')).toEqual([])
    expect(await ids('?limit=1')).toEqual(['one'])
  })

  test('live streams hear of it', async () => {
    const heard: unknown[] = []
    const stop = house.desk.subscribe((event) => void heard.push(event))
    await put(keep, 'one')
    stop()
    expect(heard).toEqual([{ kind: 'diary', animal: 'willow' }])
  })

  test.each([
    ['another id than in the path', 'one', entry('two'), [400, 'idDiffers']],
    ['neither an animal nor a place', 'one', { ...entry('one'), animal: undefined }, [400, 'invalid']],
    ['both', 'one', { ...entry('one'), place: 'fridge' }, [400, 'invalid']],
    ['a kind that there is not', 'one', entry('one', { note: { kind: 'juggled' } }), [400, 'invalid']],
    ['nobody', 'one', entry('one', { animal: 'nobody' }), [422, 'noSuchAnimal']],
    [
      'a place that there is not',
      'one',
      { ...entry('one'), animal: undefined, place: 'attic' },
      [422, 'noSuchPlace'],
    ],
    ['tomorrow', 'one', entry('one', { at: Date.parse('2026-12-25T21:00:00Z') }), [422, 'inFuture']],
    [
      'what Brumal writes',
      'one',
      entry('one', { note: { kind: 'warmingBegan', why: 'x' } }),
      [422, 'notByHand'],
    ],
    [
      'a picture not sent',
      'one',
      entry('one', { note: { kind: 'photographed', picture: 'x' } }),
      [422, 'noSuchPicture'],
    ],
  ])('of %s is refused', async (_, id, body, expected) => {
    expect(refusalOf(await keep('PUT', `/api/diary/${id}`, body))).toEqual(expected)
    expect(await list()).toEqual([])
  })

  test('X1: a stranger neither reads nor notes, and a token does what its scope says', async () => {
    for (const [method, url] of [
      ['GET', '/api/diary'],
      ['PUT', '/api/diary/one'],
      ['DELETE', '/api/diary/one'],
      ['GET', '/api/diary.csv'],
      ['POST', '/api/diary/import'],
      ['GET', '/api/pictures/x'],
    ] as const)
      expect([
        url,
        (
          await house.as(
            '',
            method,
            url,
            method === 'PUT' ? entry('one') : method === 'POST' ? {} : undefined,
          )
        ).statusCode,
      ]).toEqual([url, 401])
    const [look, act] = [await house.token('look'), await house.token('act')]
    expect(refusalOf(await house.bearing(look, 'PUT', '/api/diary/one', entry('one')))).toEqual([
      403,
      'tokenMayNot',
    ])
    const noted = await house.bearing(act, 'PUT', '/api/diary/one', entry('one'))
    expect(DiaryLine.parse(noted.json()).by).toBe('act script (token of Ada)')
    expect((await house.bearing(act, 'DELETE', '/api/diary/one')).statusCode).toBe(204)
  })
})

describe('X1: a sitter', () => {
  test('changes and removes what they noted themselves, and nothing of a keeper’s', async () => {
    await put(keep, 'hers')
    await put(sit, 'own')
    const changed = { note: { kind: 'weighed', grams: 32 } }
    expect(refusalOf(await put(sit, 'hers', changed))).toEqual([403, 'notYours'])
    expect(refusalOf(await sit('DELETE', '/api/diary/hers'))).toEqual([403, 'notYours'])
    expect((await put(sit, 'own', changed)).statusCode).toBe(200)
    expect((await sit('DELETE', '/api/diary/own')).statusCode).toBe(204)
    expect((await list()).map(({ id }) => id)).toEqual(['hers'])
    expect((await sit('DELETE', '/api/diary/own')).statusCode).toBe(204) // gone already
    await put(sit, 'own')
    expect((await keep('DELETE', '/api/diary/own')).statusCode).toBe(204)
  })

  test('takes no tables in and removes no lists', async () => {
    const csv = 'date,animal,note\n2026-11-01,Willow,x'
    expect(refusalOf(await sit('POST', '/api/diary/import', { csv }))).toEqual([403, 'keeperOnly'])
    expect(refusalOf(await sit('POST', '/api/diary/removals', { entries: ['x'] }))).toEqual([
      403,
      'keeperOnly',
    ])
  })
})

describe('a table over HTTP', () => {
  test('is looked through, taken in, known the second time and taken back', async () => {
    const csv = 'date,animal,weight (g)\n2026-11-01,Willow,31\n2026-11-08,Willow,30.5\n'
    const bring = async (query: string) =>
      ImportedDiary.parse((await keep('POST', `/api/diary/import${query}`, { csv })).json())
    expect(await bring('?trial=true')).toMatchObject({ isKept: false, known: 0 })
    expect(await list()).toEqual([])
    const brought = await bring('')
    expect(brought.isKept).toBe(true)
    expect(await list()).toHaveLength(2)
    expect(await bring('?trial=false')).toMatchObject({ entries: [], known: 2, isKept: true })
    const entries = brought.entries.map(({ id }) => id)
    expect((await keep('POST', '/api/diary/removals', { entries })).statusCode).toBe(204)
    expect(await list()).toEqual([])
  })

  test('at fault is answered with its faults, by their lines', async () => {
    const csv = 'date,animal,weight (g)\n2026-11-01,Willow,much'
    const answer = await keep('POST', '/api/diary/import', { csv })
    expect(answer.statusCode).toBe(200)
    expect(answer.json()).toEqual({
      entries: [],
      known: 0,
      faults: [{ line: 2, sentence: '“much” is not a number.' }],
      isKept: false,
    })
  })

  test('X3: of up to 1 MiB is taken, and one character more is refused', async () => {
    const head = 'date,animal,note\n2026-11-01,Willow,"'
    const csv = (length: number) => `${head}${'\n'.repeat(length - head.length - 1)}"`
    expect((await keep('POST', '/api/diary/import?trial=true', { csv: csv(1_048_576) })).statusCode).toBe(200)
    expect(refusalOf(await keep('POST', '/api/diary/import', { csv: csv(1_048_577) }))).toEqual([
      400,
      'invalid',
    ])
    const answer = await keep('POST', '/api/diary/import', { csv: 'x'.repeat(2_200_000) })
    expect(refusalOf(answer)).toEqual([413, 'bodyTooLarge'])
    expect(Problem.parse(answer.json()).detail).toBe('The body is larger than 2048 KiB.')
  })

  test('comes out as a file for a spreadsheet', async () => {
    await put(keep, 'one', { text: 'Grüße, "Willow"' })
    const answer = await sit('GET', '/api/diary.csv')
    expect(answer.headers).toMatchObject({
      'content-type': 'text/csv; charset=utf-8; header=present',
      'content-disposition': 'attachment; filename="brumal-diary.csv"',
      'cache-control': 'no-store',
    })
    expect(parse(answer.body, { columns: true })).toMatchObject([
      {
        id: 'one',
        animal: 'willow',
        name: 'Willow',
        kind: 'weighed',
        grams: '31.5',
        text: 'Grüße, "Willow"',
      },
    ])
  })
})
