import type { Database } from 'better-sqlite3'
import { type House, openHouse } from '../../daemon/app/house.ts'
import { hmacSeal } from '../../daemon/host/seal.ts'
import { seededRandom } from '../../daemon/practice/random.ts'
import { sqliteOutbox } from '../../daemon/sqlite/outbox.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import { instant, later, minutes, seconds } from '../../schemas/amounts.ts'
import { Household } from '../../schemas/household.ts'
import type { AlarmId, SensorId } from '../../schemas/ids.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import type { Millis } from '../../schemas/units.ts'
import type { WatchEffect } from '../../shared/judging/watch-state.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { heldTime } from './held-time.ts'
import { tortoiseBoxes } from './tortoise-boxes.ts'
import { delivered } from './waiting-parcel.ts'

/** Steps in which a probe counts, as parts of a kelvin. */
type Steps = 'sixteenth' | 'hundredth'

export interface Winter {
  readonly sensors: number
  /** Between two readings of one sensor; their instants are spread evenly over it. */
  readonly every: Millis
  readonly steps: Steps
  /** A gain and an offset are put on each value, which then fits no step any more. */
  readonly isCalibrated?: boolean
  readonly commitEvery: Millis
  /** Who waits for the answer to a reading; `sensor`: each of itself. */
  readonly patience: 'brokerWaits' | 'group' | 'sensor'
  /** Boxes that get too cold for a while, in turns, so many an hour; each alarm is acknowledged after five minutes. */
  readonly coldSpellsAnHour: number
}

/** 2026-01-10 00:00 UTC. */
const winterStart = instant(Date.UTC(2026, 0, 10))
/** As the daemon's own. */
const foldEvery = seconds(30)
const noise = { kelvin: 0.05, ms: 50 }
const answeredAfter = minutes(5)
const quiet = { debug() {}, info() {}, warn() {}, error() {} }

/** Boxes of tortoises in hold, a probe in each, and two contacts with a mail address each. */
function householdOf(sensors: number): Household {
  const contact = (id: string, name: string) => ({
    id,
    name,
    channels: [{ id: `${id}-mail`, kind: 'mail', label: 'Mail', address: `${id}@frog-house.example` }],
  })
  return Household.parse({
    version: 1,
    name: 'Simulated winter',
    timeZone: 'Europe/Vienna',
    ...tortoiseBoxes(sensors),
    contacts: [contact('ada', 'Ada'), contact('bela', 'Bela')],
  })
}

/** Celsius of box `s` at `ms` into the winter: a fridge's slow swing, and in its turn half an hour of frost. */
function boxAt(s: number, ms: number, { sensors, coldSpellsAnHour }: Winter): number {
  const usual = 5 + 0.6 * Math.sin(ms / 400_000 + s)
  if (coldSpellsAnHour === 0) return usual
  const turn = 3_600_000 / coldSpellsAnHour
  const spell = Math.floor(ms / turn)
  if (spell % sensors !== s) return usual
  const into = (ms - spell * turn) / turn
  // Down within a fifth of the turn, frost until its middle, up again; the last quarter is as usual.
  const depth = Math.max(0, Math.min(1, into / 0.2, (0.7 - into) / 0.2))
  return usual + depth * (-3 - usual)
}

export interface SimulatedWinter {
  readonly house: House
  readonly counts: {
    /** That a sensor sent. */
    sent: number
    /** That a commit took. */
    readings: number
    settled: number
    commits: number
    snapshots: number
    snapshotBytes: number
  }
  readonly told: () => number
  /** Limits that were passed: one for each cold spell. */
  readonly alarms: () => number
  /** Lets `ms` pass: readings as they fall due, a tick with each step, folds. */
  pass(ms: number): void
  close(): void
}

/** The real house, teller and store over `db`; only time and the boxes are simulated. Messages count as sent at once. */
export function simulatedWinter(db: Database, winter: Winter): SimulatedWinter {
  const { sensors, every, steps, patience } = winter
  const time = heldTime(winterStart)
  const chance = seededRandom(7)
  const store = sqliteStore(db)
  const outbox = sqliteOutbox(db)
  const counts = { sent: 0, readings: 0, settled: 0, commits: 0, snapshots: 0, snapshotBytes: 0 }
  let told = 0
  let raised = 0
  const house = openHouse({
    store: {
      ...store,
      commit(batch) {
        const lines = store.commit(batch)
        counts.commits += 1
        counts.readings += batch.readings.length
        if (batch.snapshot !== undefined) {
          counts.snapshots += 1
          counts.snapshotBytes = Math.max(counts.snapshotBytes, batch.snapshot.length)
        }
        return lines
      },
    },
    clock: time.clock,
    timer: time.timer,
    log: quiet,
    profileOf,
    commitEvery: winter.commitEvery,
    newHousehold: () => householdOf(sensors),
    messages: {
      seal: hmacSeal(new Uint8Array(32).fill(7)),
      address: () => 'https://house.example',
      isPractice: false,
    },
  })
  const toSend: Parcel[] = []
  house.sendBy({ put: (parcels) => void toSend.push(...parcels), settle() {} })
  const ids = Array.from({ length: sensors }, (_, s) => `probe-${s}` as SensorId)
  const answerAt = new Map<AlarmId, number>()
  const step = every / sensors
  // not in step with anything that waits for a round number of seconds
  const phases = ids.map(() => chance.uniform() * step)
  let n = 0
  let foldAt = winterStart + foldEvery

  const dueOf = (n: number): number => n * step + (phases[n % sensors] ?? 0)

  function read(): void {
    const s = n % sensors
    const due = Math.round(dueOf(n))
    const celsius = boxAt(s, due, winter) + noise.kelvin * chance.normal()
    const grid = steps === 'hundredth' ? 100 : 16
    const value = Math.round(celsius * grid) / grid
    n += 1
    counts.sent += 1
    const at = later(winterStart, due + Math.round((chance.uniform() * 2 - 1) * noise.ms))
    const effects = house.take(
      {
        kind: 'reading',
        heardAt: time.clock.now(),
        reading: {
          sensor: ids[s] as SensorId,
          quantity: 'temperature',
          at,
          value: winter.isCalibrated === true ? value * 1.0031 - 0.0213 : value,
        },
      },
      patience === 'sensor' ? { client: String(s) } : patience,
      patience === 'group' ? undefined : () => void (counts.settled += 1),
    )
    hear(effects)
  }

  function hear(effects: readonly WatchEffect[]): void {
    for (const effect of effects) {
      if (effect.kind !== 'alarm' || effect.alarm.state.name !== 'unacknowledged') continue
      if (answerAt.has(effect.alarm.id)) continue
      // Warnings that come before it, as of air that never stops cooling, are not told of each spell
      if (effect.alarm.kind === 'limit') raised += 1
      answerAt.set(effect.alarm.id, time.clock.now() + answeredAfter)
    }
  }

  function answer(): void {
    const at = time.clock.now()
    for (const [alarm, due] of answerAt) {
      if (due > at) continue
      answerAt.delete(alarm)
      house.take({ kind: 'person', alarm, act: { kind: 'acknowledge', at, by: 'Ada' } }, 'soon')
    }
  }

  /** As the outbox does it: sent after the commit, kept as delivered, and a line in the journal. */
  function send(): void {
    for (const parcel of toSend.splice(0)) {
      told += 1
      outbox.save(delivered(parcel))
      const { alarm, contact, channel, message } = parcel
      house.note({
        at: time.clock.now(),
        kind: 'told',
        by: 'brumal',
        contact,
        channel,
        ...(alarm === null ? {} : { alarm }),
        text: message.title,
      })
    }
  }

  house.take({ kind: 'listening', at: time.clock.now() }, 'soon')
  house.commit()
  return {
    house,
    counts,
    told: () => told,
    alarms: () => raised,
    pass(ms) {
      // A tick with each reading's turn, or each second where they come much faster: the daemon's own is half a second.
      const stride = step < 500 ? 1000 : step
      for (const end = time.clock.now() + ms; time.clock.now() < end; ) {
        const next = step < 500 ? Infinity : Math.max(time.clock.now() + 1, winterStart + Math.ceil(dueOf(n)))
        const now = Math.min(end, time.clock.now() + stride, next)
        time.moveTo(now)
        while (dueOf(n) <= now - winterStart) {
          read()
          time.finish()
        }
        answer()
        hear(house.take({ kind: 'timePassed', at: instant(now) }, 'group'))
        time.finish()
        send()
        if (now < foldAt) continue
        foldAt += foldEvery
        house.fold()
      }
    },
    close() {
      house.close()
      store.close()
    },
  }
}
