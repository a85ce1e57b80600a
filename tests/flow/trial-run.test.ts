import { afterAll, beforeAll, expect, test } from 'vitest'
import type { JournalLine } from '../../schemas/api.ts'
import type { Household } from '../../schemas/household.ts'
import { TrialNow } from '../../schemas/trial-report.ts'
import { type Daemon, senml, startDaemon, tortoiseHouse } from '../support/daemon.ts'
import { until } from '../support/until.ts'

let daemon: Daemon
beforeAll(async () => {
  daemon = await startDaemon()
  await tortoiseHouse(daemon)
}, 60_000)
afterAll(() => daemon.stop())

const act = (what: string) => daemon.ask('POST', '/api/places/fridge/trial', { act: what })
const trialNow = async () => TrialNow.parse(await daemon.call('GET', '/api/places/fridge/trial'))
const moveJuno = (plan: readonly object[]) =>
  daemon.call('PUT', '/api/animals/juno', {
    id: 'juno',
    name: 'Juno',
    species: 'testudo-hermanni',
    place: 'box',
    mode: 'goesDown',
    plan,
  })

test('no trial run begins over an animal in hold; with it awake it begins, hears its sensors and is kept through a crash (L7)', async () => {
  const refused = await act('begin')
  expect(refused.status).toBe(409)
  expect(await refused.json()).toMatchObject({
    code: 'animalsDown',
    detail: 'Juno is down in Cellar fridge: a trial run is for an empty place.',
  })
  await moveJuno([])
  expect((await act('begin')).status).toBe(200)
  await daemon.publish('brumal/in/probe', senml(5.1))
  await until(
    async () => (await trialNow()).report?.sensors[0]?.readings === 1,
    'the run to have heard its sensor',
  )
  expect((await act('plugOut')).status).toBe(200)

  await daemon.kill('SIGKILL')
  await daemon.again()
  const { report } = await trialNow()
  expect(report).toMatchObject({
    isRunning: true,
    by: 'Ada',
    sensors: [{ sensor: 'probe', placeName: 'Low shelf box' }],
  })
  expect(report?.plugOutSince).not.toBeNull()
  expect(report?.species.map(({ species, verdict }) => [species, verdict])).toEqual([
    ['testudo-hermanni', 'notKnownYet'],
  ])
})

test('a form that was open since before the plug was pulled does not put it back', async () => {
  const trialOf = async () =>
    (await daemon.call<Household>('GET', '/api/household')).places.find(({ id }) => id === 'fridge')?.trial
  const before = await trialOf()
  expect(before?.plugOut).toHaveLength(1)
  const fridge = { id: 'fridge', name: 'Cold fridge', kind: 'fridge', guardBand: 'off' }
  await daemon.call('PUT', '/api/places/fridge', fridge)
  expect(await trialOf()).toEqual(before)
  await daemon.call('PUT', '/api/places/fridge', { ...fridge, trial: { ...before, plugOut: [] } })
  expect(await trialOf()).toEqual(before)

  expect((await act('plugIn')).status).toBe(200)
  expect((await act('end')).status).toBe(200)
  expect((await trialNow()).report).toMatchObject({ isRunning: false, isGuarded: false, plugOutSince: null })
  expect((await act('forget')).status).toBe(200)
  expect(await trialOf()).toBeUndefined()
  const lines = await daemon.call<JournalLine[]>('GET', '/api/journal?limit=50')
  expect(
    lines.filter(({ text = '' }) => /trial run|plug/.test(text)).map(({ by, place }) => [by, place]),
  ).toEqual(Array.from({ length: 5 }, () => ['Ada', 'fridge']))
})
