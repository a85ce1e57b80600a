import { describe, expect, test } from 'vitest'
import { Problem } from '../../schemas/api.ts'
import { ImportLine, tableBytes, TableLook, UndoneImport } from '../../schemas/import.ts'
import { allInAHouse, type Method } from '../support/http-house.ts'
import { until } from '../support/until.ts'

const house = allInAHouse('keeper', 'sitter')

const keep = (method: Method, url: string, body?: unknown) => house.as(house.keeper, method, url, body)
const send = (
  payload: string,
  { cookie = house.keeper, type = 'text/csv', file = 'winter.csv', length = payload.length } = {},
) =>
  house.app.inject({
    method: 'POST',
    url: `/api/imports?file=${file}`,
    headers: { cookie, 'content-type': type, 'content-length': String(length) },
    payload,
  })
const table = 'time;temp;RH %\n01.02.2026 00:00;39,2;80\n01.02.2026 00:10;39,3;x\n'
const refusalOf = (answer: Awaited<ReturnType<typeof keep>>) => {
  const { status, code } = Problem.parse(answer.json())
  expect(status).toBe(answer.statusCode)
  return [status, code]
}
const temperature = {
  column: 1,
  quantity: 'temperature',
  unit: 'fahrenheit',
  to: { kind: 'newLogger', name: 'Old one', place: 'fridge' },
}

describe('a past winter over HTTP', () => {
  test('is sent once, looked through, taken in, listed and taken back', async () => {
    const look = TableLook.parse((await send(table)).json())
    expect(look).toMatchObject({ file: 'winter.csv', bytes: table.length, isLocal: true, dayOrder: 'clear' })
    expect(look.rows[0]).toEqual({
      line: 2,
      cells: ['01.02.2026 00:00', '39,2', '80'],
      at: Date.UTC(2026, 0, 31, 23),
    })
    expect(look.problems).toEqual([{ line: 3, sentence: 'Expected a number in “RH %”, found “x”.' }])

    const again = await keep('POST', `/api/imports/${look.id}/look`, { zone: 'UTC', columns: [] })
    expect(TableLook.parse(again.json())).toMatchObject({
      zone: 'UTC',
      problems: [],
      span: { first: Date.UTC(2026, 1, 1) },
    })

    const begun = await keep('POST', `/api/imports/${look.id}`, { zone: 'UTC', columns: [temperature] })
    expect(ImportLine.parse(begun.json())).toMatchObject({
      by: 'Ada',
      sensors: ['old-one'],
      loggers: ['old-one'],
    })
    const list = async () => ImportLine.array().parse((await keep('GET', '/api/imports')).json())
    await until(async () => (await list())[0]?.state === 'done', 'the table to be in')
    expect((await list())[0]).toMatchObject({ id: look.id, added: 2, rows: 2 })
    const undone = await keep('DELETE', `/api/imports/${look.id}`)
    expect(UndoneImport.safeParse(undone.json()).success).toBe(true)
    expect(await list()).toEqual([])
  })

  test('X1: is for keepers alone', async () => {
    expect(refusalOf(await send(table, { cookie: house.sitter }))).toEqual([403, 'keeperOnly'])
    for (const [method, url] of [
      ['GET', '/api/imports'],
      ['POST', '/api/imports/t00000000/look'],
      ['POST', '/api/imports/t00000000'],
      ['DELETE', '/api/imports/t00000000'],
    ] as const)
      expect(
        refusalOf(await house.as(house.sitter, method, url, method === 'POST' ? {} : undefined)),
      ).toEqual([403, 'keeperOnly'])
  })

  test('what it is not is refused with the right status', async () => {
    expect(refusalOf(await send('hello'))).toEqual([422, 'notATable'])
    expect(refusalOf(await send('{}', { type: 'application/json' }))).toEqual([415, 'notCsv'])
    expect(refusalOf(await send(table, { type: 'text/plain' }))).toEqual([415, 'notJson'])
    expect(refusalOf(await send(table, { length: tableBytes + 1 }))).toEqual([413, 'tooLarge'])
    expect(refusalOf(await keep('POST', '/api/imports/t00000000/look', {}))).toEqual([404, 'noSuchImport'])
    expect(refusalOf(await keep('DELETE', '/api/imports/t00000000'))).toEqual([404, 'noSuchImport'])
    expect(refusalOf(await keep('DELETE', '/api/imports/x'))).toEqual([400, 'invalid'])
    const { id } = TableLook.parse((await send(table)).json())
    const begin = (body: object) => keep('POST', `/api/imports/${id}`, body)
    expect(refusalOf(await begin({ columns: [temperature] }))).toEqual([422, 'askZone'])
    expect(refusalOf(await begin({ zone: 'Nowhere', columns: [temperature] }))).toEqual([400, 'invalid'])
    expect(refusalOf(await begin({ zone: 'UTC', columns: [] }))).toEqual([400, 'invalid'])
    const unknown = { ...temperature, to: { kind: 'known', sensor: 'nobody' } }
    expect(refusalOf(await begin({ zone: 'UTC', columns: [unknown] }))).toEqual([422, 'noSuchSensor'])
  })

  test('X3: of tables that only wait the oldest is forgotten', async () => {
    const ids: string[] = []
    for (let i = 0; i < 4; i++) ids.push(TableLook.parse((await send(table)).json()).id)
    const [first, second] = ids
    expect(refusalOf(await keep('POST', `/api/imports/${first}/look`, {}))).toEqual([404, 'noSuchImport'])
    expect((await keep('POST', `/api/imports/${second}/look`, {})).statusCode).toBe(200)
  })
})
