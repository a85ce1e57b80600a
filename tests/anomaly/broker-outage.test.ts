import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { openHouse } from '../../daemon/app/house.ts'
import { makeIntake } from '../../daemon/app/ingest.ts'
import { rememberSources } from '../../daemon/app/sources.ts'
import { watchLoop } from '../../daemon/host/loop-watch.ts'
import { watchStages } from '../../daemon/main/stages.ts'
import { makeListener } from '../../daemon/mqtt/claim.ts'
import { externalBroker } from '../../daemon/mqtt/external.ts'
import type { Clock, Timer } from '../../daemon/ports/clock.ts'
import { hours, instant, millis, minutes, seconds } from '../../schemas/amounts.ts'
import { Household } from '../../schemas/household.ts'
import { ExternalBroker } from '../../schemas/settings.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { client, keptLog, noChance } from '../support/broker-world.ts'
import { mosquittoMissing, startMosquitto, type Mosquitto } from '../support/mosquitto.ts'
import { tapInFrontOf, type Tap } from '../support/mqtt-tap.ts'
import { openStore, temporaryFolder } from '../support/store-world.ts'
import { dusk, tortoiseBox } from '../support/story.ts'
import { seal } from '../support/telling-house.ts'
import { until } from '../support/until.ts'

const day = 24 * 60
/** Every sensor speaks every so many minutes. */
const step = 2
/** Minutes of the day in which nothing gets from the broker to us. */
const gone = { from: 6 * 60, to: 12 * 60 }
const sensors = ['probe', 'second', 'third']
const topicOf = (sensor: string) => `brumal/in/${sensor}`

const household = Household.parse({
  ...tortoiseBox,
  sensors: sensors.map((id) => ({
    ...tortoiseBox.sensors[0],
    id,
    name: id,
    topic: topicOf(id),
    expectedEvery: 60_000 * step,
    spot: id === 'third' ? 'substrate' : 'air',
  })),
  contacts: [
    {
      id: 'ada',
      name: 'Ada',
      channels: [{ id: 'ada-mail', kind: 'mail', label: 'Mail', address: 'ada@frog-house.example' }],
    },
  ],
})

describe.skipIf(mosquittoMissing !== null)('a day in which the broker is gone for six hours', () => {
  let mosquitto: Mosquitto
  let wire: Tap
  let isCut = false
  const folder = temporaryFolder()

  beforeAll(async () => {
    mosquitto = await startMosquitto({ config: ['max_queued_messages 100000', 'max_inflight_messages 1000'] })
    wire = await tapInFrontOf(() => (isCut ? 9 : mosquitto.port)) // port 9 (discard) is closed here
  })
  afterAll(async () => {
    await wire.close()
    await mosquitto.stop()
    folder.remove()
  })

  test('N1: nothing is lost, the gap is known, one alarm is raised and returned, and no sensor is blamed', {
    timeout: 120_000,
  }, async () => {
    let now = dusk
    const clock: Clock = { now: () => instant(now), uptime: () => millis(now - dusk + 1_000_000) }
    const timer: Timer = {
      soon: (act) => void setImmediate(act),
      after: (_ms, act) => {
        const wait = setImmediate(act)
        return { cancel: () => clearImmediate(wait) }
      },
    }
    const log = keptLog()
    const { store } = openStore(folder.path)
    const house = openHouse({
      store,
      clock,
      timer,
      log,
      profileOf,
      commitEvery: seconds(0),
      newHousehold: () => household,
      messages: { seal, address: () => 'https://house.example', isPractice: false },
    })
    const told: string[] = []
    house.sendBy({
      put: (parcels) => told.push(...parcels.map(({ message }) => message.title)),
      settle: () => {},
    })
    const intake = makeIntake({ house, sources: rememberSources(), clock, timer })
    const listener = makeListener({ clock, intake })
    listener.useSensors(household.sensors)
    const broker = externalBroker({
      settings: ExternalBroker.parse({ url: `mqtt://127.0.0.1:${wire.port}`, topics: ['brumal/in/#'] }),
      clock,
      random: noChance,
      log,
      readFile: () => new Uint8Array(),
    })
    const stages = watchStages({
      house,
      broker,
      houseTime: null,
      clock,
      loop: watchLoop({ uptime: () => millis(0), every: seconds(0.5), tolerated: seconds(10) }),
    })
    stages.begin({ way: 'asItWas', sentence: null })
    broker.start(listener.onPacket)
    await until(() => broker.state().name === 'up', 'the broker is reached')

    const publisher = await client(mosquitto.port, { clientId: 'three-probes' })
    const heardOf = (sensor: string) =>
      house.state().sensors.find(({ id }) => id === sensor)?.series.temperature?.last.at ?? 0
    let published = 0
    let isDown = false
    for (let m = 0; m < day; m += step) {
      now = dusk + m * 60_000
      if (m === gone.from) {
        isCut = true
        wire.cut()
        await until(() => broker.state().name === 'down', 'the cable is pulled')
        isDown = true
      }
      if (m === gone.to) {
        isCut = false
        await until(() => broker.state().name === 'up', 'the cable is back', 90_000)
        isDown = false
        await until(
          () => sensors.every((one) => heardOf(one) >= now - 60_000 * step),
          'what was kept has come',
        )
      }
      for (const [i, sensor] of sensors.entries()) {
        const at = now / 1000 + i / 10
        const value = 5 + ((m + i) % 4) / 16
        const message = JSON.stringify([{ n: 'temperature', u: 'Cel', v: value, t: at }])
        await publisher.publishAsync(topicOf(sensor), message, { qos: 1 })
        published += 1
      }
      if (!isDown) await until(() => sensors.every((one) => heardOf(one) >= now), `minute ${m} is heard`)
      house.take({ kind: 'timePassed', at: instant(now + 500) }, 'group')
    }
    house.commit()

    expect(published).toBe((day / step) * sensors.length)
    for (const sensor of sensors) {
      const kept = store.readings(sensor as never, 'temperature', instant(dusk), instant(dusk + hours(24)))
      expect(kept).toHaveLength(day / step)
      expect(new Set(kept.map(({ at }) => at)).size).toBe(day / step)
    }
    const lines = store.journal({ limit: 1000 }).toReversed()
    const alarms = lines.flatMap(({ kind, alarmKind, at }) =>
      kind === 'raised' || kind === 'returned' ? [`${kind} ${alarmKind} at ${(at - dusk) / minutes(1)}`] : [],
    )
    expect(alarms).toEqual([`raised brokerLost at ${gone.from + 5}`, `returned brokerLost at ${gone.to + 1}`])
    const gap = lines.filter(({ kind }) => kind === 'brokerDown' || kind === 'brokerUp')
    expect(gap.map(({ kind, at }) => `${kind} ${(at - dusk) / minutes(1)}`)).toEqual([
      'brokerUp 0',
      `brokerDown ${gone.from}`,
      `brokerUp ${gone.to}`,
    ])
    expect(told.filter((title) => !title.startsWith('ALARM, still'))).toEqual([
      'ALARM: The story house, no readings come in',
      'Over: The story house',
    ])
    process.stdout.write(
      `broker gone for 6 h of 24: ${published} published, ${published} stored, ${alarms.length / 2} alarm, ${told.length} messages\n`,
    )

    await publisher.endAsync()
    await broker.stop()
    house.close()
    store.close()
  })
})
