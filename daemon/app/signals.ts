import { seconds } from '../../schemas/amounts.ts'
import { alarmTopic, type DaemonStatus, statusTopic } from '../../schemas/own-topics.ts'
import type { Millis } from '../../schemas/units.ts'
import { placesNow } from '../../shared/judging/place-now.ts'
import { signalsOf } from '../../shared/telling/signal.ts'
import type { Broker } from '../ports/broker.ts'
import type { Clock, Timer } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import type { House } from './house.ts'
import { namesIn } from './names.ts'

/** Time alone makes a value stale and a place doubtful; an alarm is told at once. */
const checkEvery: Millis = seconds(5)
/** A lamp that takes nothing must not keep the daemon from stopping. */
const stopWithin: Millis = seconds(2)

/**
 * Tells lamps and sirens by MQTT: `brumal/alarm/<place>` holds, retained, the `Signal` of each place, an empty message
 * takes a removed place's away, and `brumal/status` is `online` from when the broker is up until `stop`. A topic is
 * published to when what it says changes, not with each reading; all of them whenever the broker comes up, since what
 * was on its way when the connection broke may be lost, and a topic again after a failure.
 */
export function openSignals(world: {
  readonly house: Pick<House, 'state' | 'subscribe'>
  readonly broker: Pick<Broker, 'state' | 'onState' | 'publish'>
  readonly clock: Clock
  readonly timer: Timer
  readonly log: Log
}): { stop(): Promise<void> } {
  const { house, broker, clock, timer, log } = world
  /** What each topic was last told, without the instant; `unsaid` where it must be told again. */
  const told = new Map<string, string>()
  let isDue = false
  let isStopped = false
  let hasFailed = false

  function check(): void {
    isDue = false
    if (isStopped || broker.state().name !== 'up') return
    const topics = wanted()
    for (const [topic, { says, payload }] of topics) {
      if (told.get(topic) === says) continue
      told.set(topic, says)
      publish(topic, payload, () => {
        if (told.get(topic) === says) told.set(topic, unsaid)
      })
    }
    for (const topic of told.keys()) {
      if (topics.has(topic)) continue
      told.delete(topic)
      publish(topic, '', () => {
        if (!told.has(topic)) told.set(topic, unsaid)
      })
    }
  }

  /** The status comes last: who reads `online` has the alarms. */
  function wanted(): ReadonlyMap<string, { readonly says: string; readonly payload: string }> {
    const now = clock.now()
    const state = house.state()
    const alarms = [...state.alarms.values()]
    const topics = new Map<string, { readonly says: string; readonly payload: string }>()
    for (const signal of signalsOf(placesNow(state, now), alarms, namesIn(state.layout.household), now)) {
      const { at: _, ...says } = signal
      topics.set(alarmTopic(signal.place), { says: JSON.stringify(says), payload: JSON.stringify(signal) })
    }
    const online: DaemonStatus = 'online'
    return topics.set(statusTopic, { says: online, payload: online })
  }

  function publish(topic: string, payload: string, onFailure: () => void): void {
    broker.publish(topic, payload, { retain: true }).then(
      () => {
        hasFailed = false
      },
      (error: unknown) => {
        onFailure()
        if (!hasFailed) log.warn({ err: error, topic }, 'A lamp could not be told; it is tried again.')
        hasFailed = true
      },
    )
  }

  function soon(): void {
    if (isDue || isStopped) return
    isDue = true
    timer.soon(check)
  }

  function tellAll(): void {
    for (const topic of told.keys()) told.set(topic, unsaid)
    check()
  }

  const unsubscribe = house.subscribe(({ kind }) => {
    if (kind === 'alarm' || kind === 'tonight') soon()
  })
  broker.onState(({ name }) => {
    if (name === 'up') tellAll()
  })
  let turn = timer.after(checkEvery, next)
  function next(): void {
    check()
    turn = timer.after(checkEvery, next)
  }
  tellAll()

  return {
    async stop() {
      if (isStopped) return
      check()
      isStopped = true
      unsubscribe()
      turn.cancel()
      await new Promise<void>((resolve) => {
        const deadline = timer.after(stopWithin, resolve)
        const offline: DaemonStatus = 'offline'
        broker
          .publish(statusTopic, offline, { retain: true })
          .catch((error: unknown) => log.warn({ err: error }, 'Lamps could not be told of the stop.'))
          .finally(() => {
            deadline.cancel()
            resolve()
          })
      })
    },
  }
}

/** No signal reads so. */
const unsaid = ''
