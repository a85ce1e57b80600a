import { describe, expect, test } from 'vitest'
import { Problem } from '../../schemas/api.ts'
import { SpeciesId } from '../../schemas/ids.ts'
import { SpeciesProfile } from '../../schemas/species.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { eachInAHouse } from '../support/http-house.ts'

const house = eachInAHouse('keeper', 'sitter')

const toad = profileOf(SpeciesId.parse('bufo-bufo'))
if (toad === undefined) throw new Error('no toad')
const mine = {
  ...toad,
  id: 'own-cellar-toad',
  common: 'Cellar toad',
  own: { from: 'bufo-bufo', reason: 'A cold stock from the mountains.' },
}
const path = '/api/species/own-cellar-toad'

const put = (body: object = mine, url = path, by = house.keeper) => house.as(by, 'PUT', url, body)
const refusalOf = ({ statusCode, body }: { statusCode: number; body: string }) => {
  const { code, detail } = Problem.parse(JSON.parse(body))
  return [statusCode, code, detail] as const
}
const ids = async (): Promise<string[]> =>
  (await house.as(house.sitter, 'GET', '/api/species')).json<SpeciesProfile[]>().map(({ id }) => id)

describe('own profiles over HTTP', () => {
  test('stand in the list after the catalogue, are written over, and go; each in the journal by name', async () => {
    expect(SpeciesProfile.parse((await put()).json())).toEqual(mine)
    expect(await ids()).toEqual(['bufo-bufo', 'own-cellar-toad'])
    expect((await put({ ...mine, common: 'Alpine toad' })).statusCode).toBe(200)
    expect(await ids()).toEqual(['bufo-bufo', 'own-cellar-toad'])
    expect((await house.as(house.keeper, 'DELETE', path)).statusCode).toBe(204)
    expect(await ids()).toEqual(['bufo-bufo'])
    expect(house.desk.journalled.map(({ by, text }) => `${by}: ${text}`)).toEqual(
      expect.arrayContaining([
        'Ada: Made the profile Cellar toad from bufo-bufo: A cold stock from the mountains.',
        'Ada: Saved the profile Alpine toad from bufo-bufo: A cold stock from the mountains.',
        'Ada: Removed the profile Alpine toad.',
      ]),
    )
  })

  test('X1: a sitter reads them and changes none', async () => {
    expect(refusalOf(await put(mine, path, house.sitter)).slice(0, 2)).toEqual([403, 'keeperOnly'])
    await put()
    expect(await ids()).toContain('own-cellar-toad')
    expect(refusalOf(await house.as(house.sitter, 'DELETE', path)).slice(0, 2)).toEqual([403, 'keeperOnly'])
  })

  test('what cannot stand is refused with a status, a code and a sentence', async () => {
    const noHigh = toad.hold?.temperature.filter(({ limit }) => limit !== 'highCritical')
    const { own: _, ...without } = mine
    for (const [body, url, expected] of [
      [mine, '/api/species/own-other', [400, 'idDiffers', 'The id in the path is not the id in the body.']],
      [
        { ...mine, id: 'bufo-bufo' },
        '/api/species/bufo-bufo',
        [
          409,
          'catalogued',
          'Common toad stands in the catalogue and cannot be changed; make a profile of your own from it.',
        ],
      ],
      [
        { ...mine, id: 'mine' },
        '/api/species/mine',
        [422, 'badId', 'The id of a profile of your own begins with own-.'],
      ],
      [
        without,
        path,
        [422, 'noReason', 'A profile of your own needs the one that it is made from, and a reason.'],
      ],
      [
        { ...mine, hold: { temperature: noHigh, humidity: [] } },
        path,
        [422, 'noLimits', 'In hold it needs a critical low and a critical high limit of temperature.'],
      ],
    ] as const)
      expect(refusalOf(await put(body, url))).toEqual(expected)
    expect(refusalOf(await house.as(house.keeper, 'DELETE', '/api/species/own-nobody'))).toEqual([
      404,
      'noSuchSpecies',
      'There is no such profile.',
    ])
    expect(refusalOf(await house.as(house.keeper, 'DELETE', '/api/species/bufo-bufo'))).toEqual([
      409,
      'catalogued',
      'What stands in the catalogue cannot be removed.',
    ])
  })

  test('a figure without a source, or without a reason, is no request at all', async () => {
    const [first, ...others] = toad.hold?.temperature ?? []
    for (const hold of [
      { temperature: [{ ...first, source: '   ' }, ...others] },
      { temperature: [{ ...first, source: 'x'.repeat(401) }, ...others] },
    ])
      expect(refusalOf(await put({ ...mine, hold })).slice(0, 2)).toEqual([400, 'invalid'])
    expect(refusalOf(await put({ ...mine, own: { from: 'bufo-bufo', reason: '  ' } })).slice(0, 2)).toEqual([
      400,
      'invalid',
    ])
  })

  test('X3: at most fifty', async () => {
    for (let n = 0; n < 50; n += 1)
      expect((await put({ ...mine, id: `own-${n}` }, `/api/species/own-${n}`)).statusCode).toBe(200)
    expect(refusalOf(await put())).toEqual([409, 'tooMany', 'At most 50 profiles of your own.'])
    expect((await put({ ...mine, id: 'own-49' }, '/api/species/own-49')).statusCode).toBe(200)
  })
})
