import type { JournalEntry } from '../../schemas/journal.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Reading } from '../../schemas/reading.ts'
import { seconds } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { calibrated } from '../sensing/calibration.ts'
import { judgeAlone, judgeQuality, noHistory } from '../sensing/quality.ts'
import { afterCheck, saysNothing } from '../sensing/under-check.ts'
import { limitNames } from './limit-names.ts'
import { judgeBattery } from './battery.ts'
import { judgeAgreement } from './disagreement.ts'
import { startInside } from './limit.ts'
import { judgeLimits, putSeries, renewRulesOf } from './place-rules.ts'
import type { Draft } from './raising.ts'
import { noteBelief, noteHeard, passTimeFor } from './silence.ts'
import { settleTaken, takeThermal } from './thermal-judge.ts'
import type { SeriesWatch } from './watch-state.ts'
import { say } from '../words/say.ts'

/** A reading has come. `heardAt` is the clock when it arrived; a reading without its own time carries it as `at` too. */
export interface ReadingEvent {
  readonly kind: 'reading'
  readonly reading: Reading
  readonly heardAt: Instant
}

/** A retained message without its own time (L6). */
export interface LastKnownEvent {
  readonly kind: 'lastKnown'
  readonly sensor: Reading['sensor']
  readonly quantity: Quantity
  readonly value: number
}

/** A reading may be stamped this far ahead of our clock before it is set aside (L5). */
const toleratedAhead = seconds(60)

/** Takes one reading in: is it to be believed, and if so, what does it mean where its sensor lies? */
export function takeReading(draft: Draft, { reading: given, heardAt }: ReadingEvent): void {
  // Minus nothing is nothing: text keeps no sign for it, and a snapshot must give back what it was given.
  const reading = Object.is(given.value, -0) ? { ...given, value: 0 } : given
  const s = draft.state.layout.sensorIndex.get(reading.sensor)
  const sensor = s === undefined ? undefined : draft.state.sensors[s]
  const spec = s === undefined ? undefined : draft.state.layout.sensors[s]
  if (s === undefined || sensor === undefined || spec === undefined) return
  if (reading.at > heardAt + toleratedAhead) return setAside(draft, s, reading, heardAt)

  const { quantity, at } = reading
  const known = sensor.series[quantity]
  if (known !== undefined && at <= known.last.at) {
    if (at === known.last.at) return
    const quality = saysNothing(spec, reading) ? 'checking' : judgeAlone(reading, spec.type)
    draft.effects.push({ kind: 'store', reading, quality, late: true })
    return
  }
  const p = draft.state.layout.placeOfSensor[s] ?? -1
  const until = draft.state.places[p]?.rules.until ?? null
  if (until !== null && until <= at) renewRulesOf(draft, p, at)
  if (known?.good && !known.stale && at >= known.good.at + staleCheckFrom)
    passTimeFor(draft, s, (at - 1) as Instant)

  const past = known?.history ?? noHistory
  const [history, quality] = saysNothing(spec, reading)
    ? ([afterCheck(past), 'checking'] as const)
    : judgeQuality(past, reading, spec)
  const believed = quality === 'good'
  // Believed and stored is what the sensor said; judged is what it means.
  const value = believed ? calibrated(spec.calibrations, quantity, at, reading.value) : reading.value
  const now = draft.state.sensors[s] ?? sensor
  const before = now.series[quantity]
  const taken = believed ? takeThermal(draft.state, s, p, quantity, before, at, value) : null
  const thermal = taken?.thermal ?? before?.thermal
  const series: SeriesWatch = {
    last: { at, value, quality, heardAt },
    good: believed ? { at, value } : (before?.good ?? null),
    history,
    stale: believed ? false : (before?.stale ?? false),
    limits: before?.limits ?? insideAll,
    ...(thermal === undefined ? {} : { thermal }),
  }
  putSeries(draft, s, { ...now, heardAt: later(now.heardAt, at), clockAhead: null }, quantity, series)
  draft.effects.push({ kind: 'store', reading, quality, late: false })
  if (believed) {
    judgeLimits(draft, s, quantity, { kind: 'reading', at, value })
    if (taken !== null) settleTaken(draft, s, p, at, taken)
    if (quantity === 'temperature') judgeAgreement(draft, s, at)
    else if (quantity === 'battery' || quantity === 'voltage') judgeBattery(draft, s, quantity, at, value)
  }
  if (now.silent) noteHeard(draft, s, at)
  // What is read elsewhere says nothing about the sensor either, good or bad.
  const isTelling = quality !== 'checking' && (!believed || before?.last.quality !== 'good')
  if (quantity === 'temperature' && isTelling) noteBelief(draft, s, series, at)
}

/** Keeps a value of unknown age, which judges nothing. */
export function noteLastKnown(draft: Draft, event: LastKnownEvent): void {
  const s = draft.state.layout.sensorIndex.get(event.sensor)
  const sensor = s === undefined ? undefined : draft.state.sensors[s]
  if (s === undefined || sensor === undefined) return
  const lastKnown = { ...sensor.lastKnown, [event.quantity]: event.value }
  draft.state = { ...draft.state, sensors: draft.state.sensors.with(s, { ...sensor, lastKnown }) }
}

const insideAll: SeriesWatch['limits'] = limitNames.map(() => startInside)

/** A sensor is never stale sooner than this, so younger values need no look at the timers before a reading. */
const staleCheckFrom = seconds(60)

function setAside(draft: Draft, s: number, reading: Reading, heardAt: Instant): void {
  const sensor = draft.state.sensors[s]
  if (sensor === undefined) return
  const byMs = reading.at - heardAt
  draft.effects.push({ kind: 'setAside', reading })
  if (sensor.clockAhead === null) {
    const entry: JournalEntry = {
      at: heardAt,
      kind: 'clockFault',
      by: 'brumal',
      sensor: sensor.id,
      text: say('Its readings are stamped {round} s ahead of this clock and are set aside.', {
        round: Math.round(byMs / 1000),
      }),
      ...(sensor.place === null ? {} : { place: sensor.place }),
    }
    draft.effects.push({ kind: 'journal', entry })
  }
  const clockAhead = { since: sensor.clockAhead?.since ?? heardAt, byMs }
  draft.state = { ...draft.state, sensors: draft.state.sensors.with(s, { ...sensor, clockAhead }) }
}

const later = (one: Instant | null, other: Instant): Instant => (one !== null && one > other ? one : other)
