import { closeSync, openSync, readdirSync, writeSync } from 'node:fs'
import { join } from 'node:path'
import BetterSqlite from 'better-sqlite3'
import { afterEach, expect, test } from 'vitest'
import { databaseName, openDatabase } from '../../daemon/sqlite/open.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import type { JournalLine, Series } from '../../schemas/api.ts'
import { instant } from '../../schemas/amounts.ts'
import { type Daemon, senml, startDaemon, tortoiseHouse } from '../support/daemon.ts'
import { freePort } from '../support/mosquitto.ts'
import { until } from '../support/until.ts'

let daemon: Daemon | null = null
afterEach(async () => {
  await daemon?.stop()
  daemon = null
})

const day = 86_400_000
const minute = 60_000

/** Overwrites the heads of the pages that hold closed hours, while somebody else has the file open. */
function spoil(path: string, share: (page: number, of: number) => boolean): number {
  const db = new BetterSqlite(path, { readonly: true })
  const size = Number(db.pragma('page_size', { simple: true }))
  const pages = db
    .prepare<[], number>("SELECT pageno FROM dbstat WHERE name = 'block_data' AND pagetype = 'leaf'")
    .pluck()
    .all()
  db.close()
  const file = openSync(path, 'r+')
  const chosen = pages.filter((_, i) => share(i, pages.length))
  for (const page of chosen) writeSync(file, Buffer.alloc(64, 0xff), 0, 64, (page - 1) * size)
  closeSync(file)
  return chosen.length
}

test('N2: bytes that flip under the running daemon are noticed when they are read, and it goes on from what is whole', async () => {
  const [http, mqtt] = [await freePort(), await freePort()]
  daemon = await startDaemon({ env: { BRUMAL_HTTP_PORT: String(http), BRUMAL_MQTT_PORT: String(mqtt) } })
  const { folder } = daemon
  const path = join(folder, 'data', databaseName)
  await tortoiseHouse(daemon)
  const from = Math.floor((Date.now() - 3 * day) / 3_600_000) * 3_600_000
  for (let hour = 0; hour < 48; hour++) {
    const pack = Array.from({ length: 60 }, (_, i) => ({
      ...(i === 0 ? { bn: 'probe/', bu: 'Cel' } : {}),
      n: 'temperature',
      t: (from + hour * 60 * minute + i * minute) / 1000,
      v: 5 + ((hour * 7 + i * 13) % 40) / 16,
    }))
    await daemon.publish('brumal/in/probe', JSON.stringify(pack))
  }
  expect(await daemon.kill('SIGTERM')).toBe(0)
  const db = openDatabase(join(folder, 'data'))
  const store = sqliteStore(db)
  const nowhere = { lowCritical: 0, low: 0, inside: 0, high: 0, highCritical: 0, unknown: 0 }
  const { snapshot } = store.resume()
  const folded = store.fold(instant(Date.now() - day), () => nowhere, snapshot ?? '')
  expect(folded.readings).toBe(48 * 60)
  store.close()
  await daemon.again()

  const spoilt = spoil(path, (i, all) => i >= Math.floor(all / 2))
  expect(spoilt).toBeGreaterThan(0)
  const series = (a: number, b: number) =>
    (daemon as Daemon).ask(
      'GET',
      `/api/sensors/probe/series?quantity=temperature&from=${from + a * 60 * minute}&to=${from + b * 60 * minute}&columns=5000`,
    )
  // the fault really happened: the hours cannot be read
  expect((await series(0, 48)).status).toBeGreaterThanOrEqual(500)

  await until(
    () => (daemon as Daemon).printed().includes('The database is damaged; setting it aside'),
    'mending',
  )
  const back = async () => (await series(0, 48).catch(() => null))?.status === 200
  await until(back, 'the page to be back', 20_000)
  expect(
    readdirSync(join(folder, 'data')).filter((name) => name.includes('.damaged-')).length,
  ).toBeGreaterThan(0)
  const left = ((await (await series(0, 48)).json()) as Series).columns.mean.filter((v) => v !== null).length
  expect(left).toBeGreaterThan(0)
  expect(left).toBeLessThan(48 * 60)

  const lines = await daemon.call<JournalLine[]>('GET', '/api/journal')
  const aside = lines.find(({ kind }) => kind === 'databaseSetAside')
  expect(aside?.text).toContain('set aside')
  await daemon.publish('brumal/in/probe', senml(-1, Date.now() - 90_000))
  await daemon.publish('brumal/in/probe', senml(-1))
  await until(
    async () => (await (daemon as Daemon).alarms()).standing.some(({ limit }) => limit === 'lowCritical'),
    'the alarm of a box that freezes',
    15_000,
  )
}, 60_000)
