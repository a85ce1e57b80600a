import type { JudgedReading } from '../ports/store.ts'
import type { OwedHour, ReadingPlace, UpstreamCursor, UpstreamStore } from '../ports/upstream.ts'
import { alarmChanges } from '../../schemas/journal.ts'
import { alarmPack } from '../../shared/upstream/alarm-packs.ts'
import { type Pack, readingPacks } from '../../shared/upstream/reading-packs.ts'
import type { Instant } from '../../schemas/units.ts'
import type { History } from './calibrated-history.ts'

/** What goes out together, and where the cursor stands once all of it is acknowledged. */
export interface Window {
  readonly packs: readonly Pack[]
  readonly cursor: UpstreamCursor
  readonly hours: readonly OwedHour[]
  readonly readings: number
  readonly alarmChanges: number
}

/** Readings in a window: read and written in a few milliseconds, so that judging never waits for it. A design choice. */
const mostReadings = 500
const mostLines = 50
/** Hours that are settled in one commit while a long outage is made up for. */
const mostHours = 64

const hourMs = 3_600_000

/** What is to go next: changes of alarms, then new readings in order of arrival, then owed hours, oldest first. */
export function makeWindows(world: {
  readonly site: string
  readonly store: UpstreamStore
  readonly history: Pick<History, 'readings'>
  readonly cursor: () => UpstreamCursor
  /** Keeps the cursor and what `takeSent` gives. */
  readonly keep: () => void
}) {
  const { site, store, history } = world
  let queue: OwedHour[] = []
  let sentHours: OwedHour[] = []

  function alarms(cursor: UpstreamCursor): Window | null {
    const lines = store.linesAfter(cursor.line, alarmChanges, mostLines)
    const last = lines.at(-1)
    if (last === undefined) return null
    const packs = lines.map((line) => alarmPack(site, line))
    return { packs, cursor: { ...cursor, line: last.id }, hours: [], readings: 0, alarmChanges: lines.length }
  }

  function fresh(cursor: UpstreamCursor): Window | null {
    const places = store.readingsAfter(cursor.seq, mostReadings)
    const last = places.at(-1)
    if (last === undefined) return null
    const readings = storedAt(places)
    return windowOf(readings, { ...cursor, seq: last.seq }, [])
  }

  function past(cursor: UpstreamCursor): Window | null {
    if (queue.length === 0) {
      if (sentHours.length > 0) world.keep()
      queue = [...store.owed(mostHours)]
    }
    const hours: OwedHour[] = []
    const readings: JudgedReading[] = []
    while (readings.length < mostReadings) {
      const hour = queue.shift()
      if (hour === undefined) break
      hours.push(hour)
      for (const one of history.readings(hour.sensor, hour.quantity, hour.from, hour.to)) readings.push(one)
    }
    return hours.length === 0 ? null : windowOf(readings, cursor, hours)
  }

  /**
   * The readings as they are kept. What waits may repeat an instant that an earlier reading holds; what counts is what the
   * history shows there.
   */
  function storedAt(places: readonly ReadingPlace[]): readonly JudgedReading[] {
    const groups = new Map<string, ReadingPlace[]>()
    for (const place of places) {
      const key = `${place.sensor} ${place.quantity} ${Math.floor(place.at / hourMs)}`
      const known = groups.get(key)
      if (known === undefined) groups.set(key, [place])
      else known.push(place)
    }
    return [...groups.values()].flatMap((group) => {
      const [{ sensor, quantity }] = group as [ReadingPlace]
      const instants = new Set<number>(group.map(({ at }) => at))
      const from = Math.min(...instants) as Instant
      const to = (Math.max(...instants) + 1) as Instant
      return history.readings(sensor, quantity, from, to).filter(({ at }) => instants.has(at))
    })
  }

  const windowOf = (
    readings: readonly JudgedReading[],
    cursor: UpstreamCursor,
    hours: readonly OwedHour[],
  ): Window => ({
    packs: readingPacks(site, readings),
    cursor,
    hours,
    readings: readings.length,
    alarmChanges: 0,
  })

  return {
    next(): Window | null {
      const cursor = world.cursor()
      return alarms(cursor) ?? fresh(cursor) ?? past(cursor)
    },
    wasSent({ hours }: Window): void {
      sentHours.push(...hours)
    },
    /** What was on its way is owed still, and read afresh. */
    wasLost(): void {
      if (sentHours.length > 0) world.keep()
      queue = []
    },
    /** Hours that are settled with the cursor. */
    takeSent(): readonly OwedHour[] {
      const taken = sentHours
      sentHours = []
      return taken
    },
  }
}
