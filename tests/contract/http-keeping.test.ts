import { expect, test } from 'vitest'
import { Health } from '../../schemas/acts.ts'
import { Problem } from '../../schemas/api.ts'
import { BackupLine, KeepingNow } from '../../schemas/keeping.ts'
import { eachInAHouse } from '../support/http-house.ts'

const house = eachInAHouse('keeper')

const backUp = (body: unknown = {}) => house.as(house.keeper, 'POST', '/api/backups', body)
const keeping = async () => KeepingNow.parse((await house.as(house.keeper, 'GET', '/api/keeping')).json())
const problemOf = (answer: { statusCode: number; body: string }) => {
  const { code, detail } = Problem.parse(JSON.parse(answer.body))
  return [answer.statusCode, code, detail]
}

test('a keeper makes a backup, by their own name, and sees it first in the list', async () => {
  expect((await keeping()).backups.list).toEqual([])
  for (const _ of ['first', 'second']) {
    const answer = await backUp()
    expect(answer.statusCode).toBe(200)
    const line = BackupLine.parse(answer.json())
    expect((await keeping()).backups.list[0]).toEqual(line)
  }
  const lines = house.desk.journalled.filter(({ kind }) => kind === 'backedUp')
  expect(lines.map(({ by }) => by)).toEqual(['Ada', 'Ada'])
})

test('a backup that runs already is refused as true now, one that fails in its own sentence', async () => {
  house.desk.keepAs({ backup: 'alreadyRunning' })
  expect(problemOf(await backUp())).toEqual([409, 'alreadyRunning', 'A backup is being made just now.'])
  house.desk.keepAs({ backup: 'backupFailed' })
  expect(problemOf(await backUp())).toEqual([503, 'backupFailed', 'The disk is full.'])
  expect((await backUp({ folder: '/etc' })).statusCode).toBe(400) // where to is the settings' to say
})

test('X4: no path leads to a backup itself', async () => {
  const { name } = BackupLine.parse((await backUp()).json())
  for (const path of [`/api/backups/${name}`, '/api/backups', `/backups/${name}`, `/api/keeping/${name}`]) {
    const { statusCode } = await house.as(house.keeper, 'GET', path)
    expect([path, [404, 405].includes(statusCode)]).toEqual([path, true])
  }
  const paths = house.app.knownRoutes.filter(({ url }) => /backup|keeping/.test(url))
  expect(paths.map(({ method, url }) => `${method} ${url}`).sort()).toEqual([
    'GET /api/keeping',
    'HEAD /api/keeping',
    'POST /api/backups',
  ])
})

test('N1: /health names a store that takes nothing, and still answers', async () => {
  const health = async () => {
    const answer = await house.as('', 'GET', '/health')
    return [answer.statusCode, Health.parse(answer.json()).store]
  }
  expect(await health()).toEqual([200, 'ok'])
  house.desk.keepAs({ isOnDisk: false })
  expect(await health()).toEqual([200, 'failing'])
})
