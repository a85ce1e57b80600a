/**
 * One measured process. `subject.ts bare URL N` is an mqtt.js subscriber with an empty handler; `subject.ts external URL N`
 * and `subject.ts embedded - N` are the whole path of the daemon: broker, claim, decode, judge, commit, acknowledge.
 * Says `ready`, and `done` with the milliseconds from the first message to the last acknowledged or committed one.
 */
import { rmSync } from 'node:fs'
import { mkdtempSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import mqtt from 'mqtt'
import { openHouse } from '../../daemon/app/house.ts'
import { makeIntake } from '../../daemon/app/ingest.ts'
import { rememberSources } from '../../daemon/app/sources.ts'
import { machineClock } from '../../daemon/host/clock.ts'
import { hmacSeal } from '../../daemon/host/seal.ts'
import { openLog } from '../../daemon/host/log.ts'
import { machineTimer } from '../../daemon/host/timer.ts'
import { makeListener } from '../../daemon/mqtt/claim.ts'
import { embeddedBroker } from '../../daemon/mqtt/embedded.ts'
import { externalBroker } from '../../daemon/mqtt/external.ts'
import type { Store } from '../../daemon/ports/store.ts'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import { seconds } from '../../schemas/amounts.ts'
import { ExternalBroker } from '../../schemas/settings.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { benchHousehold } from './household.ts'
import { until } from '../support/until.ts'

const [kind = '', url = '', count = '0'] = process.argv.slice(2)
const wanted = Number(count)
const say = (line: object) => process.send?.(line)

if (kind === 'bare') bare()
else await whole()

function bare(): void {
  let got = 0
  let began = 0
  const client = mqtt.connect(url, {
    protocolVersion: 4,
    clean: false,
    clientId: 'bench',
    reconnectPeriod: 0,
  })
  client.handleMessage = (_packet, done) => {
    if (got === 0) began = performance.now()
    got += 1
    done()
    if (got === wanted) say({ done: performance.now() - began })
  }
  client.on('connect', () => client.subscribe('#', { qos: 1 }, () => say({ ready: true })))
}

async function whole(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'brumal-bench-'))
  process.on('exit', () => rmSync(folder, { recursive: true, force: true }))
  process.on('SIGTERM', () => process.exit(0))
  const clock = machineClock()
  const timer = machineTimer()
  const log = openLog('warn', process.stderr)
  const store = sqliteStore(openDatabase(folder))
  let committed = 0
  let began = 0
  const counted: Store = {
    ...store,
    commit(batch) {
      const lines = store.commit(batch)
      committed += batch.readings.length
      if (committed === wanted) say({ done: performance.now() - began })
      return lines
    },
  }
  const house = openHouse({
    store: counted,
    clock,
    timer,
    log,
    profileOf,
    commitEvery: seconds(30),
    newHousehold: () => benchHousehold(),
    messages: {
      seal: hmacSeal(new Uint8Array(32)),
      address: () => 'http://localhost',
      isPractice: false,
    },
  })
  const intake = makeIntake({ house, sources: rememberSources(), clock, timer })
  const listener = makeListener({
    clock,
    intake: (arrival, settle) => {
      if (began === 0) began = performance.now()
      intake(arrival, settle)
    },
  })
  listener.useSensors(house.state().layout.sensors)
  house.commit()
  const world = { clock, log, random: Math.random }
  if (kind === 'embedded') {
    const login = {
      name: 'bench',
      isGood: () => true,
      seen: () => undefined,
      mayPublish: () => true,
      mayRead: () => false,
    }
    const broker = embeddedBroker({
      ...world,
      host: '127.0.0.1',
      port: 0,
      anonymous: true,
      checkLogin: () => login,
    })
    broker.start(listener.onPacket)
    await until(() => broker.port() !== null, 'the broker')
    say({ ready: true, port: broker.port() })
    return
  }
  const settings = ExternalBroker.parse({ url, clientId: 'bench' })
  const broker = externalBroker({ ...world, settings, readFile: () => new Uint8Array() })
  broker.start(listener.onPacket)
  await until(() => broker.state().name === 'up', 'the broker')
  say({ ready: true })
}
