import { type House, openHouse } from '../../daemon/app/house.ts'
import { openWhatIf } from '../../daemon/app/what-if.ts'
import { hmacSeal } from '../../daemon/host/seal.ts'
import { machineTimer } from '../../daemon/host/timer.ts'
import type { Clock } from '../../daemon/ports/clock.ts'
import type { Store } from '../../daemon/ports/store.ts'
import type { DiaryStore } from '../../daemon/ports/season.ts'
import type { WhatIfDesk } from '../../daemon/ports/what-if.ts'
import { sqliteDiary } from '../../daemon/sqlite/diary.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import { instant, later, minutes, seconds } from '../../schemas/amounts.ts'
import { Household } from '../../schemas/household.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import { SensorId } from '../../schemas/ids.ts'
import type { Quality } from '../../schemas/reading.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import type { WhatIfAsk, WhatIfResult } from '../../schemas/what-if.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { until } from './until.ts'

/** What a probe says at a minute of its time; null: nothing. */
export type Curve = (minute: number) => number | null

/** A tortoise in hold in a box in a fridge, its probe in the box; in the room another thermometer. */
export const whatIfHousehold = (more: object = {}, place: object = {}, sensor: object = {}): Household =>
  Household.parse({
    version: 1,
    name: 'Winter house',
    timeZone: 'Europe/Vienna',
    places: [
      { id: 'room', name: 'Cellar', kind: 'room' },
      { id: 'fridge', name: 'Fridge', kind: 'fridge', parent: 'room', ...place },
    ],
    sensors: [
      { id: 'probe', name: 'Probe', place: 'fridge', type: 'ds18b20', topic: 'a', ...sensor },
      { id: 'room-probe', name: 'Room probe', place: 'room', type: 'ds18b20', topic: 'b' },
    ],
    animals: [
      {
        id: 'pebble',
        name: 'Pebble',
        species: 'testudo-hermanni',
        place: 'fridge',
        mode: 'goesDown',
        plan: [{ phase: 'hold', from: 1 }],
      },
    ],
    ...more,
  })

/** A sixteenth of a kelvin, as the probe counts. */
export const sixteenth = (celsius: number): number => Math.round(celsius * 16) / 16

export interface WhatIfHouse {
  readonly house: House
  readonly store: Store
  readonly clock: Clock & { now: () => Instant }
  readonly desk: WhatIfDesk
  readonly diary: DiaryStore
  /** Goes through so many minutes as it was: readings, ticks, journal. */
  live(curves: Readonly<Record<string, Curve>>, forMinutes: number): void
  /** Puts readings into the store that nobody judged. */
  keep(
    sensor: string,
    curve: Curve,
    from: Instant,
    forMinutes: number,
    every?: Millis,
    quality?: Quality,
  ): void
  note(entry: JournalEntry): void
  /** Nobody listens for so long; then Brumal starts. */
  skip(ms: Millis): void
  /** Begins, waits, and gives what came of it. */
  ask(ask: WhatIfAsk): Promise<WhatIfResult>
  close(): void
}

/** A house on real SQLite whose past is made by its own engine; its clock is moved by the readings. */
export function aWhatIfHouse(
  folder: string,
  options: { readonly start: Instant; readonly household?: Household; readonly uptime?: () => number },
): WhatIfHouse {
  const time = { now: options.start }
  const uptime = options.uptime ?? (() => performance.now())
  const clock: Clock = { now: () => time.now, uptime: () => uptime() as Millis }
  const log = { debug() {}, info() {}, warn() {}, error() {} }
  const db = openDatabase(folder, { log })
  const store = sqliteStore(db)
  const diary = sqliteDiary(db)
  const timer = machineTimer()
  const house = openHouse({
    store,
    clock,
    timer: { soon: (act) => act(), after: () => ({ cancel: () => undefined }) },
    log,
    profileOf,
    commitEvery: seconds(3600),
    newHousehold: () => options.household ?? whatIfHousehold(),
    messages: { seal: hmacSeal(new Uint8Array(32)), address: () => 'http://localhost', isPractice: false },
  })
  house.take({ kind: 'listening', at: time.now }, 'group')
  const desk = openWhatIf({
    house,
    store,
    diary,
    clock,
    profileOf,
    pause: () => new Promise((resolve) => timer.soon(resolve)),
  })
  return {
    house,
    store,
    clock,
    desk,
    diary,
    live(curves, forMinutes) {
      const start = time.now
      for (let minute = 0; minute < forMinutes; minute++) {
        time.now = later(start, minute * 60_000)
        house.take({ kind: 'timePassed', at: later(time.now, -1) }, 'group')
        for (const [sensor, curve] of Object.entries(curves)) {
          const value = curve(minute)
          if (value === null) continue
          const reading = {
            sensor: SensorId.parse(sensor),
            quantity: 'temperature',
            at: time.now,
            value,
          } as const
          house.take({ kind: 'reading', reading, heardAt: time.now }, 'group')
        }
        if (minute % 720 === 719) house.fold()
      }
      time.now = later(start, forMinutes * 60_000)
      house.take({ kind: 'timePassed', at: later(time.now, -1) }, 'group')
      house.commit()
    },
    keep(sensor, curve, from, forMinutes, every = minutes(1), quality = 'good') {
      const readings = Array.from({ length: Math.floor((forMinutes * 60_000) / every) }, (_, i) => ({
        sensor: SensorId.parse(sensor),
        quantity: 'temperature' as const,
        at: later(from, i * every),
        value: curve((i * every) / 60_000) ?? 0,
        quality,
      }))
      for (let i = 0; i < readings.length; i += 20_000)
        store.commit({ readings: readings.slice(i, i + 20_000), journal: [] })
      time.now = instant(Math.max(time.now, from + forMinutes * 60_000))
    },
    note: (entry) => house.note(entry),
    skip(ms) {
      time.now = later(time.now, ms)
      house.take({ kind: 'listening', at: time.now }, 'group')
      house.note({ at: time.now, kind: 'started', by: 'brumal' })
    },
    async ask(ask) {
      const begun = desk.startWhatIf(ask)
      if (!begun.ok) throw new Error(begun.sentence)
      const { id } = begun.value
      const state = () => {
        const now = desk.whatIf(id)
        return now.ok ? now.value : null
      }
      await until(() => state()?.state !== 'running', 'the look back is over', 60_000)
      const over = state()
      if (over?.state !== 'done') throw new Error(JSON.stringify(over))
      return over.result
    },
    close() {
      house.close()
      store.close()
    },
  }
}
