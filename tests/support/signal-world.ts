import type { MqttClient } from 'mqtt'
import { openHouse } from '../../daemon/app/house.ts'
import { openSignals } from '../../daemon/app/signals.ts'
import { hmacSeal } from '../../daemon/host/seal.ts'
import { machineTimer } from '../../daemon/host/timer.ts'
import type { Broker } from '../../daemon/ports/broker.ts'
import type { Clock } from '../../daemon/ports/clock.ts'
import { seconds } from '../../schemas/amounts.ts'
import type { Household } from '../../schemas/household.ts'
import type { PlaceId, SensorId } from '../../schemas/ids.ts'
import type { Reading } from '../../schemas/reading.ts'
import { Signal } from '../../schemas/signal.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { client, type KeptLog, keptLog, textOf } from './broker-world.ts'
import { openStore, temporaryFolder } from './store-world.ts'
import { dusk, tortoiseBox } from './story.ts'

/** A real house whose clock stands still until it is moved, and a timer that waits in that time. */
export function aWatchedHouse(household: Household = tortoiseBox) {
  const folder = temporaryFolder()
  const { store } = openStore(folder.path)
  let now = dusk
  const clock: Clock = { now: () => now as Instant, uptime: () => now as Millis }
  const waits = new Set<{ readonly at: number; readonly act: () => void }>()
  const timer = {
    soon: machineTimer().soon,
    after(ms: Millis, act: () => void) {
      const wait = { at: now + ms, act }
      waits.add(wait)
      return { cancel: () => void waits.delete(wait) }
    },
  }
  const house = openHouse({
    store,
    clock,
    timer,
    log: keptLog(),
    profileOf,
    commitEvery: seconds(5),
    newHousehold: () => household,
    messages: {
      seal: hmacSeal(new Uint8Array(32).fill(7)),
      address: () => 'https://house.example',
      isPractice: false,
    },
  })
  const readingOf = (celsius: number): Reading => ({
    sensor: 'probe' as SensorId,
    quantity: 'temperature',
    value: celsius,
    at: now as Instant,
  })
  return {
    house,
    clock,
    timer,
    /** Time goes on, and whoever waited for it acts. */
    passes(ms: number) {
      for (const end = now + ms; now < end; ) {
        now = Math.min(end, now + 1000)
        for (const wait of [...waits].filter(({ at }) => at <= now)) {
          waits.delete(wait)
          wait.act()
        }
      }
    },
    reads(celsius: number) {
      house.take({ kind: 'reading', heardAt: now as Instant, reading: readingOf(celsius) }, 'soon')
    },
    /** The box falls below its limit for longer than the delay; nobody who waits for a time acts meanwhile. */
    freezes() {
      for (let i = 0; i < 10; i += 1) {
        now += 60_000
        house.take(
          { kind: 'reading', heardAt: now as Instant, reading: readingOf(-3 - (i % 2) / 16) },
          'soon',
        )
      }
    },
    judges: () => house.take({ kind: 'timePassed', at: now as Instant }, 'group'),
    acknowledges() {
      for (const { id, state } of [...house.state().alarms.values()])
        if (state.name === 'unacknowledged')
          house.take(
            { kind: 'person', alarm: id, act: { kind: 'acknowledge', at: now as Instant, by: 'Ada' } },
            'soon',
          )
    },
    becomes(changed: Household) {
      house.rehouse(changed, { at: now as Instant, kind: 'changed', by: 'Ada', text: 'Changed.' })
    },
    close() {
      house.close()
      store.close()
      folder.remove()
    },
  }
}

export type WatchedHouse = ReturnType<typeof aWatchedHouse>

/** Signals of a house over a broker, which counts what was published and can be made to fail. */
export function signalsOver(world: WatchedHouse, broker: Broker) {
  const log: KeptLog = keptLog()
  const published: string[] = []
  let failures = 0
  const signals = openSignals({
    ...world,
    log,
    broker: {
      ...broker,
      publish(topic, payload, options) {
        if (failures > 0) {
          failures -= 1
          return Promise.reject(new Error('the broker choked'))
        }
        published.push(topic)
        return broker.publish(topic, payload, options)
      },
    },
  })
  return {
    ...signals,
    log,
    published,
    failsNext(times: number) {
      failures = times
    },
  }
}

/** A lamp: an independent MQTT client that keeps the last word on each topic, and all of them in order. */
export async function aLampAt(port: number, options = {}) {
  const lamp: MqttClient = await client(port, options)
  const last = new Map<string, string>()
  const heard: string[] = []
  lamp.on('message', (topic, payload) => {
    last.set(topic, textOf(payload))
    heard.push(`${topic} ${textOf(payload)}`)
  })
  await lamp.subscribeAsync(['brumal/alarm/#', 'brumal/status'], { qos: 1 })
  return {
    lamp,
    heard,
    status: () => last.get('brumal/status'),
    signal(place: string): Signal | null {
      const text = last.get(`brumal/alarm/${place as PlaceId}`) ?? ''
      return text === '' ? null : Signal.parse(JSON.parse(text))
    },
  }
}
