import type { Alarm, AlarmKind } from '../../schemas/alarm.ts'
import type { PlaceNow, Standing, ValueNow } from '../../schemas/api.ts'
import type { Bands, Priority } from '../../schemas/band.ts'
import { Quantity } from '../../schemas/quantity.ts'
import { later, millis } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { freshFor } from '../sensing/freshness.ts'
import { isSaturatedForLong } from '../sensing/quality.ts'
import { checkHolds } from '../sensing/under-check.ts'
import { durationWords, qualityWords, quantityWord, valueWords } from '../telling/words.ts'
import { isConditionOut } from './alarm.ts'
import { asLimit } from './band.ts'
import { limitNames } from './limit-names.ts'
import { phaseAt } from './phase-at.ts'
import { guardAt, guardedBy } from './guard.ts'
import { delayingOf, isOutOrInDoubt, judgedDueAt } from './guarded-limit.ts'
import { isOut } from './limit.ts'
import { limitsFor } from './limits-here.ts'
import { isAboutAnimals } from './policy.ts'
import { judgeOf } from './silence.ts'
import { thermalNow } from './thermal-now.ts'
import type { PlaceRules, WatchState } from './watch-state.ts'
import { say } from '../words/say.ts'

/** Every place as it stands at `at`, in the household's order. */
export function placesNow(state: WatchState, at: Instant): PlaceNow[] {
  const shown = [...state.alarms.values()].filter((alarm) => alarm.state.name !== 'normal')
  return state.layout.places.map((_, p) => placeNow(state, p, shown, at))
}

/** The newest values of one sensor, believed or not. */
export function valuesOf(state: WatchState, s: number, at: Instant): ValueNow[] {
  const spec = state.layout.sensors[s]
  const sensor = state.sensors[s]
  if (spec === undefined || sensor === undefined) return []
  return Quantity.options.flatMap((quantity): ValueNow[] => {
    const series = sensor.series[quantity]
    const common = { sensor: spec.id, sensorName: spec.name, quantity }
    if (series !== undefined) {
      const fresh = series.good?.at === series.last.at && at <= later(series.last.at, freshFor(spec))
      const { at: readAt, value, quality } = series.last
      return [{ ...common, value, at: readAt, quality, fresh, lastKnown: false }]
    }
    const known = sensor.lastKnown[quantity]
    if (known === undefined) return []
    return [{ ...common, value: known, at: sensor.since, quality: 'good', fresh: false, lastKnown: true }]
  })
}

function placeNow(state: WatchState, p: number, shown: readonly Alarm[], at: Instant): PlaceNow {
  const here = state.layout.places[p]
  const watch = state.places[p]
  if (here === undefined || watch === undefined) throw new Error(`There is no place number ${p}.`)
  const judge = judgeOf(state, p)
  const from = judge ?? p
  const values = (state.layout.places[from]?.sensors ?? []).flatMap((s) => valuesOf(state, s, at))
  const judging = judge === null ? null : (state.layout.places[judge]?.place.id ?? null)
  const alarms = shown.filter(
    (alarm) =>
      alarm.place === here.place.id ||
      (ofTheAir.includes(alarm.kind) && here.own.length > 0 && alarm.place === judging),
  )
  const tended = state.tendings.find((tending) => tending.place === here.place.id)
  const standing = standingOf(state, p, judge, values, alarms)
  const thermal = thermalNow(state, p, at)
  const remarks = remarksOn(state, p, judge, values, standing, at)
  return {
    id: here.place.id,
    name: here.place.name,
    kind: here.place.kind,
    parent: here.place.parent,
    timeZone: here.place.timeZone ?? state.layout.household.timeZone,
    animals: here.own.map(({ animal, profile }) => ({
      id: animal.id,
      name: animal.name,
      species: animal.species,
      common: profile.common,
      latin: profile.latin,
      phase: phaseAt(animal, at).phase,
    })),
    judgedBy: judging,
    values,
    bands: withGuard(state, from, watch.rules, at),
    standing,
    priority: worstOf(alarms.filter((alarm) => isConditionOut(alarm.state) && isAboutAnimals(alarm))),
    alarms: alarms.map((alarm) => alarm.id),
    tendedUntil: tended?.until ?? null,
    remarks,
    ...(thermal === null ? {} : { thermal }),
  }
}

/** The band with the near-freezing limit as the least sure sensor that judges here moves it inwards (L9). */
function withGuard(state: WatchState, judge: number, { bands, guarded }: PlaceRules, at: Instant): Bands {
  const edge = bands.temperature?.lowCritical
  if (!bands.temperature || !edge || guarded === null) return bands
  const limit = asLimit('temperature', 'lowCritical', edge)
  const rungAt = (state.layout.places[judge]?.sensors ?? []).flatMap((s) => {
    const guards =
      state.sensors[s]?.series.temperature === undefined ? null : (state.layout.guards[s] ?? null)
    return guards === null ? [] : (guardedBy(limit, guarded, guardAt(guards, at)).guard ?? [])
  })
  const first = rungAt.toSorted((one, other) => other.value - one.value)[0]
  if (first === undefined) return bands
  const lowCritical = { ...edge, guarded: first.value, expanded: first.expanded }
  return { ...bands, temperature: { ...bands.temperature, lowCritical } }
}

/** Who is judged by the sensor of the fridge around is meant by what that says of temperatures (L10). */
const ofTheAir: readonly AlarmKind[] = ['limit', 'animalLimit', 'limitAhead']

function standingOf(
  state: WatchState,
  p: number,
  judge: number | null,
  values: readonly ValueNow[],
  alarms: readonly Alarm[],
): Standing {
  const here = state.layout.places[p]
  if (here === undefined) return 'idle'
  if (alarms.some((alarm) => isConditionOut(alarm.state) && isAboutAnimals(alarm))) return 'out'
  const bands = state.places[p]?.rules.bands ?? {}
  const limited = Quantity.options.filter((quantity) => limitNames.some((name) => bands[quantity]?.[name]))
  const isJudged = here.own.length > 0 || (limited.length > 0 && here.sensors.length > 0)
  if (!isJudged) return 'idle'
  if (judge === null) return 'unsure'
  const temperature = values.filter((value) => value.quantity === 'temperature')
  if (!temperature.some((value) => value.fresh)) return 'unsure'
  return leaving(state, judge).length > 0 ? 'leaving' : 'safe'
}

interface Leaving {
  readonly quantity: Quantity
  readonly value: number
  /** Else it is nearer to the limit than its sensor may be off. */
  readonly isPast: boolean
  readonly limit: number
  readonly since: Instant
  readonly for: number
}

/** Believed values outside their band whose delay has not run out. */
function leaving(state: WatchState, p: number): Leaving[] {
  return (state.layout.places[p]?.sensors ?? []).flatMap((s) =>
    Quantity.options.flatMap((quantity) => {
      const series = state.sensors[s]?.series[quantity]
      if (!series?.good) return []
      const { at, value } = series.good
      const limits = limitsFor(state, s, quantity, at)
      if (limits === undefined) return []
      return series.limits.flatMap((limit, n): Leaving[] => {
        const rule = limits[n]
        const waits = rule && delayingOf(limit)
        if (!rule || !waits || !isOutOrInDoubt(rule, value)) return []
        const due = judgedDueAt(limit, rule) ?? at
        return [
          {
            quantity,
            value,
            isPast: isOut(rule, value),
            limit: rule.value,
            since: waits.since,
            for: millis(due - waits.since),
          },
        ]
      })
    }),
  )
}

const leavingWords = (
  { isPast }: Pick<Leaving, 'isPast'>,
  given: Readonly<Record<'value' | 'limit' | 'duration' | 'delay', string>>,
): string =>
  isPast
    ? say('{value}, past its limit of {limit} for {duration}; an alarm follows at {delay}.', given)
    : say(
        '{value}, nearer than its sensor may be off to its limit of {limit} for {duration}; an alarm follows at {delay}.',
        given,
      )

function remarksOn(
  state: WatchState,
  p: number,
  judge: number | null,
  values: readonly ValueNow[],
  standing: Standing,
  at: Instant,
): string[] {
  const here = state.layout.places[p]
  if (here === undefined) return []
  const remarks: string[] = []
  if (standing === 'leaving')
    for (const one of leaving(state, judge ?? p).slice(0, 2))
      remarks.push(
        leavingWords(one, {
          value: valueWords(one.quantity, one.value),
          limit: valueWords(one.quantity, one.limit),
          duration: durationWords(at - one.since),
          delay: durationWords(one.for),
        }),
      )
  const conflict = state.places[p]?.rules.conflict
  if (conflict)
    remarks.push(
      say('No {quantity} suits both: {first}; {second}.', {
        quantity: quantityWord(conflict.quantity),
        first: conflict.first,
        second: conflict.second,
      }),
    )
  if (here.own.length > 0 && judge === null) remarks.push(say('No working sensor here or around it.'))
  for (const value of values) {
    if (value.lastKnown)
      remarks.push(
        say('{sensor}: last known {quantity} only, its age is unknown.', {
          sensor: value.sensorName,
          quantity: quantityWord(value.quantity),
        }),
      )
    else if (value.quality !== 'good' && value.quality !== 'checking')
      remarks.push(
        say('{sensor}: {value} is not believed, {part}.', {
          sensor: value.sensorName,
          value: valueWords(value.quantity, value.value),
          part: qualityWords[value.quality],
        }),
      )
    else if (!value.fresh && value.quantity === 'temperature')
      remarks.push(
        say('{sensor}: nothing newer for {duration}.', {
          sensor: value.sensorName,
          duration: durationWords(at - value.at),
        }),
      )
  }
  if (here.own.length > 0 && judge !== null && judge !== p) {
    const why = here.sensors.length === 0 ? say('it has none of its own') : say('none of its own is working')
    remarks.push(
      say('Judged by the sensor of {part}: {why}.', {
        part: state.layout.places[judge]?.place.name ?? judge,
        why,
      }),
    )
  }
  for (const s of here.sensors) {
    const spec = state.layout.sensors[s]
    if (checkHolds(spec?.check, at))
      remarks.push(
        say(
          '{part} is being checked, for {duration} more at most: what it reads says nothing about this place.',
          { part: spec?.name ?? say('A sensor'), duration: durationWords(spec.check.until - at) },
        ),
      )
    const humidity = state.sensors[s]?.series.humidity
    if (humidity !== undefined && isSaturatedForLong(humidity.history))
      remarks.push(
        say('{part}: 100 %RH without a break; it is wet or at the end of its scale.', {
          part: state.layout.sensors[s]?.name ?? say('A sensor'),
        }),
      )
    const ahead = state.sensors[s]?.clockAhead
    if (ahead)
      remarks.push(
        say('{part}: its clock is {duration} ahead; its readings are set aside.', {
          part: state.layout.sensors[s]?.name ?? say('A sensor'),
          duration: durationWords(ahead.byMs),
        }),
      )
  }
  return remarks
}

function worstOf(alarms: readonly Alarm[]): Priority | null {
  for (const priority of ['high', 'medium', 'low'] as const)
    if (alarms.some((alarm) => alarm.priority === priority)) return priority
  return null
}
