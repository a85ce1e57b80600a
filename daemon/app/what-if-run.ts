import type { Night } from '../../schemas/api.ts'
import type { Household } from '../../schemas/household.ts'
import type { PlaceId, SensorId } from '../../schemas/ids.ts'
import { Quantity } from '../../schemas/quantity.ts'
import { mostPairs, type WhatIfAsk, type WhatIfResult } from '../../schemas/what-if.ts'
import { days, hours, later, millis } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import type { ProfileOf } from '../../shared/judging/layout.ts'
import { countPairs, fewer, pairsOf } from '../../shared/what-if/pairs.ts'
import { spellsOf } from '../../shared/what-if/spells.ts'
import { nightSides, sideOf, type Stretch } from '../../shared/what-if/tally.ts'
import { endWhatIf, hearHappened, hearStored, startWhatIf } from '../../shared/what-if/walk.ts'
import type { Clock } from '../ports/clock.ts'
import type { JudgedReading, Store } from '../ports/store.ts'
import type { ZonesOf } from '../ports/zones.ts'
import { dueBefore, readPast } from './what-if-log.ts'

/** Read at a time, as it is stored: a sensor that speaks each second says 3600 values in it. */
const chunk = hours(1)
/** Judged so long before others have their turn: a reading that waits for it is late by no more. */
const turn = 8
/** The clock is asked once in so many readings. */
const askedEvery = 32
/** Judged before what is counted: what stands at its beginning is known, and a fridge's cycle is learnt. */
const leadIn = days(3)

/** What is asked of the store. */
export type PastStore = Pick<Store, 'journal' | 'readings' | 'span' | 'size' | 'summaries'>

export interface WhatIfRun {
  readonly ask: WhatIfAsk
  /** With the plans of that time. */
  readonly household: Household
  readonly withoutPlan: readonly string[]
  readonly profileOf: ProfileOf
  /** Whose alarms count. */
  readonly places: ReadonlySet<PlaceId>
  readonly stretch: Stretch
  readonly nights: readonly Night[]
  readonly timeZone: string
  readonly isCancelled: () => boolean
  readonly onProgress: (at: Instant, readings: number) => void
}

/** Judges a past time by other limits, in turns with whatever else is due; null where it was cancelled. */
export async function runWhatIf(
  world: {
    readonly store: PastStore
    readonly clock: Pick<Clock, 'uptime'>
    readonly zonesOf: ZonesOf
    readonly pause: () => Promise<void>
  },
  asked: WhatIfRun,
): Promise<WhatIfResult | null> {
  const { store, clock } = world
  const { household, places, stretch, nights } = asked
  const series = seriesIn(household, store, later(stretch.from, -leadIn), stretch.to)
  const firstHeard = new Map<SensorId, Instant>()
  for (const { sensor, first } of series)
    firstHeard.set(sensor, Math.min(first, firstHeard.get(sensor) ?? Infinity) as Instant)
  // Before anything was ever heard there was nothing to watch, and nobody to miss it.
  const begins = Math.max(stretch.from - leadIn, Math.min(stretch.to, ...firstHeard.values())) as Instant
  let turnEnds = clock.uptime() + turn
  const rest = async (): Promise<boolean> => {
    await world.pause()
    turnEnds = clock.uptime() + turn
    return !asked.isCancelled()
  }
  // Set-up and the answer itself are short; each part of them has a turn of its own.
  if (!(await rest())) return null
  const past = await readPast(store, places, { from: begins, to: stretch.to }, stretch, rest)
  if (past === null || !(await rest())) return null
  const walk = startWhatIf({ ...asked, tried: asked.ask.tried, begins, firstHeard })
  const isThinned = thinnedUntil(store)
  const next = { next: 0 }
  let thinnedHours = 0

  for (let start = begins; start < stretch.to; start = later(start, chunk)) {
    const part = { from: start, to: Math.min(start + chunk, stretch.to) as Instant }
    const stored: JudgedReading[] = []
    for (const { sensor, quantity, first, last } of series) {
      if (last < part.from || first >= part.to) continue
      const readings = store.readings(sensor, quantity, part.from, part.to)
      for (const reading of readings) stored.push(reading)
      if (quantity === 'temperature' && part.to > stretch.from && part.from < isThinned)
        thinnedHours += thinnedIn(store, world.zonesOf, sensor, part, readings)
      if (clock.uptime() >= turnEnds && !(await rest())) return null
    }
    stored.sort((one, other) => one.at - other.at)
    for (const [n, reading] of stored.entries()) {
      if (n % askedEvery === 0 && clock.uptime() >= turnEnds && !(await rest())) return null
      for (const one of dueBefore(past.happened, next, reading.at)) hearHappened(walk, one)
      hearStored(walk, reading)
    }
    asked.onProgress(part.to, walk.readings)
  }
  if (!(await rest())) return null
  for (const one of dueBefore(past.happened, next, stretch.to)) hearHappened(walk, one)
  endWhatIf(walk, stretch.to)

  const happened = spellsOf(past.log)
  const would = spellsOf(walk.log)
  if (!(await rest())) return null
  const inside = ({ from }: { from: Instant }) => from >= stretch.from && from < stretch.to
  const pairs = pairsOf(happened, would).filter(
    (pair) =>
      (pair.happened !== null && inside(pair.happened)) || (pair.would !== null && inside(pair.would)),
  )
  if (!(await rest())) return null
  const shown = fewer(pairs, mostPairs)
  const [before, after] = [nightSides(happened, nights), nightSides(would, nights)]
  return {
    place: asked.ask.place,
    ...stretch,
    timeZone: asked.timeZone,
    readings: walk.readings,
    happened: sideOf(happened, stretch, nights),
    would: sideOf(would, stretch, nights),
    outside: millis(Math.round(walk.outside.total)),
    counts: countPairs(pairs),
    nights: nights.map((night, i) => ({
      ...night,
      happened: before[i] ?? silent,
      would: after[i] ?? silent,
      outside: millis(Math.round(walk.outside.byNight[i] ?? 0)),
    })),
    pairs: [...shown],
    leftOut: pairs.length - shown.length,
    caveats: {
      ...past.caveats,
      thinnedHours,
      withoutPlan: asked.withoutPlan.slice(0, 50),
      isCut: walk.log.isCut || past.log.isCut,
    },
  }
}

const silent = { alarms: 0, gravest: null, rings: false, standing: millis(0) }

interface StoredSeries {
  readonly sensor: SensorId
  readonly quantity: Quantity
  readonly first: Instant
  readonly last: Instant
}

/** What its sensors said of anything in a stretch. */
export function seriesIn(
  { sensors }: Pick<Household, 'sensors'>,
  store: Pick<Store, 'span'>,
  from: Instant,
  to: Instant,
): readonly StoredSeries[] {
  return sensors.flatMap(({ id: sensor }) =>
    Quantity.options.flatMap((quantity) => {
      const span = store.span(sensor, quantity)
      return span === null || span.first >= to || span.last < from ? [] : [{ sensor, quantity, ...span }]
    }),
  )
}

/** Up to when hours may have lost their single readings. */
function thinnedUntil(store: Pick<Store, 'size'>): number {
  const { hourlyFrom, everyReadingFrom } = store.size()
  return hourlyFrom === null ? -Infinity : (everyReadingFrom ?? Infinity)
}

/** Hours of which more was heard than is left. */
function thinnedIn(
  store: Pick<Store, 'summaries'>,
  zonesOf: ZonesOf,
  sensor: SensorId,
  { from, to }: Stretch,
  readings: readonly JudgedReading[],
): number {
  const hoursIn = Array.from({ length: Math.ceil((to - from) / hour) }, (_, i) => ({
    from: later(from, i * hour),
    to: Math.min(from + (i + 1) * hour, to) as Instant,
  }))
  const good = readings.filter(({ quality }) => quality === 'good')
  return store.summaries(sensor, 'temperature', hoursIn, zonesOf).filter(({ readings: heard }, i) => {
    const [start, end] = [hoursIn[i]?.from ?? 0, hoursIn[i]?.to ?? 0]
    return heard > good.filter(({ at }) => at >= start && at < end).length
  }).length
}

const hour: Millis = hours(1)
