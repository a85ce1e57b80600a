import { copyFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Broker, Settle } from '../../daemon/ports/broker.ts'
import type { Arrival } from '../../daemon/ports/intake.ts'
import type { Delivery, Senders } from '../../daemon/ports/outbox.ts'
import type { BrokerState } from '../../schemas/api.ts'
import { minutes, seconds } from '../../schemas/amounts.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import type { SensorId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import { databaseName } from '../../daemon/sqlite/open.ts'
import { type FaultDaemon, openFaultDaemon, type PortName } from './fault-daemon.ts'
import { type Act, acts, celsiusOn, household, type Sent, start } from './fault-house.ts'
import { keptIn, standingIn, storedIn, viewOf } from './fault-sight.ts'
import { failing, type Trap } from './faulty.ts'
import { type SimulatedTime, simulatedTime } from './simulated-time.ts'
import { temporaryFolder } from './store-world.ts'

/** When the daemon is closed and opened again unless the plan says otherwise, and when the story is over. */
const [usualRestart, endAt] = [13, 15]

interface Fed {
  readonly sensor: 'one' | 'two'
  readonly at: number
  readonly value: number
  /** `open`: nobody has said what came of it, and the broker keeps it. */
  came: 'open' | 'settled' | 'refused'
  /** Settled while the fault was happening. */
  underFault: boolean
  settledTimes: number
}

export interface Plan {
  readonly port: PortName | 'sender'
  readonly trap: Trap
  /** Whether a fault for ever is over before the daemon is closed, or only when the process has ended. */
  readonly mended: 'beforeClose' | 'afterClose'
  /** The minute of the first end; an end without a word where `isKilled`. */
  readonly restartAt?: number
  readonly isKilled?: boolean
  /** Fails once the daemon is opened again. */
  readonly second?: { readonly port: PortName; readonly trap: Trap }
  /** What stands between the core and its parts instead of `failing`. */
  readonly wrap?: <Part extends object>(port: PortName, part: Part) => Part
  readonly senders?: (usual: Senders, time: SimulatedTime) => Senders
}

/** One hour of the story house, from its first start to its second end. Lamps are half of the work: not everybody has them. */
export async function tellStory(freshHouse: string, hasLamps: boolean, plan: Plan | null) {
  const folder = temporaryFolder()
  copyFileSync(join(freshHouse, databaseName), join(folder.path, databaseName))
  const time = simulatedTime(start as Instant)
  const sent: Sent[] = []
  const lamps = new Map<string, string>()
  const fed: Fed[] = []
  const deaths: unknown[] = []
  const refusedOpenings: unknown[] = []
  const errors: { readonly act: string; readonly error: unknown }[] = []
  let todo: Act[] = []
  let daemon: FaultDaemon | null = null
  let hasRestarted = false
  let hasEndedUnderFault = false

  const restartAt = plan?.restartAt ?? usualRestart
  const minuteNow = () => (time.clock.now() - start) / 60_000
  const takes: Delivery = { outcome: 'delivered', sentence: 'It was taken.' }
  const send = (_channel: unknown, _secret: unknown, parcel: Parcel): Promise<Delivery> => {
    sent.push({ minute: minuteNow(), parcel })
    return Promise.resolve(takes)
  }
  const usual: Senders = { push: null, relay: { send }, mail: { send }, webhook: null }
  const senders = plan?.senders?.(usual, time) ?? usual
  const broker: Broker = {
    start() {},
    state: () => ({ name: hasLamps ? 'up' : 'down', since: start as Instant, sentence: '' }) as BrokerState,
    onState() {},
    onForgotten() {},
    publish(topic, payload) {
      lamps.set(topic, String(payload))
      return Promise.resolve()
    },
    stop: () => Promise.resolve(),
  }
  const wrap = <Part extends object>(port: PortName, part: Part): Part => {
    let wrapped = plan?.wrap?.(port, part) ?? part
    if (plan !== null && plan.port === port && plan.wrap === undefined) wrapped = failing(wrapped, plan.trap)
    const second = hasRestarted ? plan?.second : undefined
    return second?.port === port ? failing(wrapped, second.trap) : wrapped
  }

  const isHappening = () =>
    plan !== null && plan.trap.mode === 'forEver' && plan.trap.hasHappened() && !plan.trap.isMended()

  function dies(cause: unknown): void {
    deaths.push(cause)
    const dying = daemon
    daemon = null
    time.forget()
    dying?.isKilled()
  }

  function open(): void {
    try {
      daemon = openFaultDaemon({
        folder: folder.path,
        household,
        clock: time.clock,
        timer: time.timer,
        senders,
        broker,
        wraps: { wrap },
        dies,
      })
    } catch (cause) {
      time.forget()
      refusedOpenings.push(cause)
      return
    }
    // The connection is made anew: the broker sends again what nobody acknowledged, in its order
    for (const one of fed) if (one.came !== 'settled') hand(one)
  }

  function hand(one: Fed): void {
    const settle: Settle = (failure) => {
      one.settledTimes += 1
      one.came = failure === null ? 'settled' : 'refused'
      one.underFault = isHappening()
    }
    const sensor = one.sensor as SensorId
    const arrival: Arrival = {
      topic: `brumal/in/${one.sensor}`,
      payload: new Uint8Array(),
      retained: false,
      qos: 1,
      claimedBy: [sensor],
      heard: [{ sensor, quantity: 'temperature', value: one.value, at: one.at as Instant }],
      found: [],
      refusal: null,
    }
    daemon?.hears(arrival, settle)
  }

  async function act(): Promise<void> {
    const due = todo
    todo = []
    const done = new Set<string>()
    for (const one of due) {
      if (daemon === null) {
        errors.push({ act: one.name, error: new Error('nobody answers') })
        todo.push(one)
        continue
      }
      try {
        const came = one.does(daemon, {
          sent,
          isToDo: (name) => due.concat(todo).some((other) => other.name === name && !done.has(name)),
        })
        if (came instanceof Promise)
          came.catch((error: unknown) => {
            errors.push({ act: one.name, error })
            todo.push(one)
          })
        done.add(one.name)
      } catch (error) {
        errors.push({ act: one.name, error })
        todo.push(one)
      }
    }
    await time.settle()
  }

  async function minute(m: number, celsius = celsiusOn): Promise<void> {
    await time.pass(minutes(1))
    if (daemon === null) open()
    // The daemon looks at the time twice a second, so once at least between two readings
    daemon?.ticks()
    for (const one of fed) if (one.came === 'refused') hand(one)
    for (const sensor of ['one', 'two'] as const) {
      const value = celsius(m, sensor)
      const one: Fed = {
        sensor,
        at: time.clock.now(),
        value,
        came: 'open',
        underFault: false,
        settledTimes: 0,
      }
      fed.push(one)
      hand(one)
    }
    await time.settle()
    daemon?.ticks()
    await time.settle()
    todo.push(...acts.filter((one) => one.minute === m))
    await act()
    if (m % 3 === 0) daemon?.folds()
    await time.pass(seconds(5))
    daemon?.ticks()
    await time.settle()
  }

  function kill(): void {
    daemon?.isKilled()
    daemon = null
    time.forget()
  }

  async function stop(): Promise<void> {
    const ending = daemon
    await ending?.stop(() => time.pass(seconds(3)))
    daemon = null
    time.forget()
  }

  open()
  await time.settle()
  for (let m = 1; m < restartAt; m++) await minute(m)
  if (plan?.trap.hasHappened() === true && plan.mended === 'beforeClose') plan.trap.mend()
  await minute(restartAt - 0.5)
  hasEndedUnderFault = isHappening()
  if (plan?.isKilled === true) kill()
  else await stop()
  if (plan?.trap.hasHappened() === true) plan.trap.mend()
  hasRestarted = true
  open()
  for (let m = restartAt; m < endAt; m++) await minute(m)
  plan?.trap.mend()
  plan?.second?.trap.mend()
  // Whoever waits for a failing disk is heard again, and whoever died is started again
  for (const m of [endAt, endAt + 1]) await minute(m)
  await time.pass(seconds(10))

  const last = daemon as FaultDaemon | null
  const result = {
    fed,
    sent,
    lamps,
    deaths,
    refusedOpenings,
    errors,
    undone: todo.map(({ name }) => name),
    stored: last === null ? [] : storedIn(last),
    view: last === null ? null : viewOf(last),
    kept: last === null ? null : keptIn(last),
    standing: last === null ? [] : standingIn(last),
    hasEndedUnderFault,
    journal: last === null ? [] : last.raw.store.journal({ limit: 1000 }).toReversed(),
  }
  await stop()
  folder.remove()
  return result
}

export type Told = Awaited<ReturnType<typeof tellStory>>
