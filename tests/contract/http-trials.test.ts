import { describe, expect, test } from 'vitest'
import { Problem } from '../../schemas/api.ts'
import { days, hours, later } from '../../schemas/amounts.ts'
import { TrialKept, TrialNow } from '../../schemas/trial-report.ts'
import { eachInAHouse } from '../support/http-house.ts'

const path = '/api/places/fridge/trial'

const house = eachInAHouse('keeper', 'sitter')

const does = (body: object, url = path) => house.as(house.keeper, 'POST', url, body)
const refusalOf = ({ statusCode, body }: { statusCode: number; body: string }) => {
  const { code, detail } = Problem.parse(JSON.parse(body))
  return [statusCode, code, detail] as const
}
const trialNow = async (query = '', by = house.keeper) =>
  TrialNow.parse((await house.as(by, 'GET', path + query)).json())

describe('a trial run over HTTP', () => {
  test('begins, loses its plug, gets it back, ends and is thrown away, each in the journal by name', async () => {
    expect(await trialNow()).toEqual({ place: 'fridge', name: 'Cellar fridge', trial: null, report: null })
    const from = house.clock.now()
    const begun = TrialKept.parse((await does({ act: 'begin', litres: 6.5 })).json())
    expect(begun.trial).toEqual({ from, until: null, by: 'Ada', litres: 6.5, plugOut: [] })

    house.clock.move(days(2))
    await does({ act: 'plugOut' })
    house.clock.move(hours(4))
    expect((await trialNow()).report).toMatchObject({
      isRunning: true,
      plugOutSince: later(from, days(2)),
      lasted: days(2) + hours(4),
      isLongEnough: true,
    })
    await does({ act: 'plugIn' })
    house.clock.move(hours(1))
    const ended = TrialKept.parse((await does({ act: 'end' })).json()).trial
    expect(ended?.plugOut).toEqual([{ from: later(from, days(2)), until: later(from, days(2) + hours(4)) }])
    expect(ended?.until).toBe(later(from, days(2) + hours(5)))
    expect((await does({ act: 'forget' })).json()).toEqual({ trial: null })
    expect((await trialNow()).report).toBeNull()
    expect(house.desk.journalled.map(({ by, text }) => `${by}: ${text}`)).toEqual(
      expect.arrayContaining([
        'Ada: A trial run of Cellar fridge began, with 6.5 L of water inside.',
        'Ada: The plug of Cellar fridge was pulled on purpose, for its trial run.',
        'Ada: The plug of Cellar fridge is in again.',
        'Ada: The trial run of Cellar fridge ended.',
        'Ada: The trial run of Cellar fridge was thrown away; its readings are kept.',
      ]),
    )
  })

  test('what does not fit is refused with a sentence', async () => {
    expect(refusalOf(await does({ act: 'end' }))).toEqual([
      409,
      'nothingRuns',
      'No trial run of Cellar fridge goes on.',
    ])
    await does({ act: 'begin', litres: 0 })
    expect(refusalOf(await does({ act: 'begin', litres: 0 })).slice(0, 2)).toEqual([409, 'alreadyRuns'])
    expect(refusalOf(await does({ act: 'plugIn' })).slice(0, 2)).toEqual([409, 'plugIsIn'])
    await does({ act: 'plugOut' })
    expect(refusalOf(await does({ act: 'plugOut' })).slice(0, 2)).toEqual([409, 'plugIsOut'])
    const nowhere = '/api/places/attic/trial'
    expect(refusalOf(await does({ act: 'begin' }, nowhere)).slice(0, 2)).toEqual([404, 'noSuchPlace'])
    expect(refusalOf(await house.as(house.keeper, 'GET', nowhere)).slice(0, 2)).toEqual([404, 'noSuchPlace'])
  })

  test('X3: water of no amount, an unknown act and more than it asks for do not fit', async () => {
    const bodies = [
      { act: 'begin', litres: -1 },
      { act: 'begin', litres: 1001 },
      { act: 'begin', litres: 'six' },
      { act: 'plug' },
      { act: 'end', litres: 1 },
      {},
    ]
    for (const body of bodies) expect((await does(body)).statusCode).toBe(400)
    expect((await does({ act: 'begin', litres: 1000 })).statusCode).toBe(200)
  })

  test('X1: a sitter sees the report and changes nothing', async () => {
    await does({ act: 'begin', litres: 0 })
    expect((await trialNow('', house.sitter)).trial?.by).toBe('Ada')
    for (const act of ['begin', 'end', 'plugOut', 'plugIn', 'forget'])
      expect((await house.as(house.sitter, 'POST', path, { act })).statusCode).toBe(403)
    expect((await trialNow()).trial?.until).toBeNull()
    expect((await house.app.inject({ method: 'GET', url: path })).statusCode).toBe(401)
  })

  test('the species asked for are judged, an unknown one is refused', async () => {
    await does({ act: 'begin', litres: 0 })
    const { report } = await trialNow('?species=bufo-bufo,python-regius')
    expect(report?.species.map(({ species, verdict }) => [species, verdict])).toEqual([
      ['bufo-bufo', 'notKnownYet'],
      ['python-regius', 'notFit'],
    ])
    expect(
      refusalOf(await house.as(house.keeper, 'GET', `${path}?species=draco-volans`)).slice(0, 2),
    ).toEqual([404, 'noSuchSpecies'])
    for (const species of ['', ',', 'a'.repeat(501)])
      expect((await house.as(house.keeper, 'GET', `${path}?species=${species}`)).statusCode).toBe(400)
  })
})
