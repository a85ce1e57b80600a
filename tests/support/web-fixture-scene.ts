import type { Alarm } from '../../schemas/alarm.ts'
import { type BrokerState, JournalLine, type PlaceNow, Tonight, type ValueNow } from '../../schemas/api.ts'
import type { Bands } from '../../schemas/band.ts'
import type { Household } from '../../schemas/household.ts'
import type { Place } from '../../schemas/place.ts'
import { hours, later, minutes, seconds } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { bandsAt } from '../../shared/judging/band.ts'
import { phaseAt } from '../../shared/judging/phase-at.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { answer } from '../../shared/telling/answer.ts'
import { nightOf } from '../../shared/time/night.ts'
import type { Truth } from './web-fixture-curves.ts'
import { doorLines, sceneThermal } from './web-fixture-thermal.ts'
import { unreachedAlarm } from './web-fixture-contacts.ts'

/**
 * What the fixture shows. first: nobody has set it up · out: nobody is signed in · empty: no place yet · lost: nothing is
 * sent · sitter: alarms, seen by a sitter; sitterEmpty: no place yet, and practice · unreached: a contact whom nothing reaches.
 */
export const scenes = [
  'safe',
  'alarm',
  'unsure',
  'empty',
  'practice',
  'first',
  'out',
  'lost',
  'sitter',
  'sitterEmpty',
  'unreached',
] as const
export type Scene = (typeof scenes)[number]

export function bandsOf(household: Household, place: Place, now: Instant): Bands {
  const tenants = household.animals
    .filter((animal) => animal.place === place.id)
    .flatMap((animal) => {
      const profile = profileOf(animal.species)
      return profile === undefined ? [] : [{ animal, profile }]
    })
  return bandsAt(place, tenants, household.guidance, now).bands
}

/** The place whose sensors judge this one (L10). */
export function judgeOf(household: Household, place: Place): Place | null {
  if (household.sensors.some((sensor) => sensor.place === place.id)) return place
  const parent = household.places.find((one) => one.id === place.parent)
  return parent === undefined ? null : judgeOf(household, parent)
}

export function sceneAlarms(scene: Scene, now: Instant): Alarm[] {
  if (scene === 'unreached') return [unreachedAlarm(now)]
  if (scene !== 'alarm' && scene !== 'sitter') return []
  const of = (alarm: Partial<Alarm> & Pick<Alarm, 'kind' | 'priority' | 'state'>): Alarm => ({
    id: 'x' as Alarm['id'],
    place: null,
    sensor: null,
    contact: null,
    quantity: null,
    limit: null,
    occurrence: 1,
    value: null,
    threshold: null,
    ...alarm,
  })
  return [
    of({
      id: 'limit:top-box:temperature:lowCritical' as Alarm['id'],
      kind: 'limit',
      place: 'top-box' as Alarm['place'],
      sensor: 'top-probe' as Alarm['sensor'],
      quantity: 'temperature',
      limit: 'lowCritical',
      priority: 'high',
      value: 0.9,
      threshold: 1,
      state: { name: 'unacknowledged', since: later(now, -minutes(26)) },
    }),
    of({
      id: 'silent:cellar-probe' as Alarm['id'],
      kind: 'silent',
      place: 'cellar' as Alarm['place'],
      sensor: 'cellar-probe' as Alarm['sensor'],
      priority: 'medium',
      state: {
        name: 'returnedUnacknowledged',
        since: later(now, -hours(5)),
        returnedAt: later(now, -hours(4)),
      },
    }),
    of({
      id: 'limit:warm-room:humidity:low' as Alarm['id'],
      kind: 'limit',
      place: 'warm-room' as Alarm['place'],
      sensor: 'warm-probe' as Alarm['sensor'],
      quantity: 'humidity',
      limit: 'low',
      priority: 'low',
      value: 49,
      threshold: 50,
      state: {
        name: 'acknowledged',
        since: later(now, -hours(9)),
        by: 'Robin',
        acknowledgedAt: later(now, -hours(8)),
      },
    }),
    of({
      id: 'stuck:fridge-wall' as Alarm['id'],
      kind: 'stuck',
      place: 'larder-fridge' as Alarm['place'],
      sensor: 'fridge-wall' as Alarm['sensor'],
      quantity: 'temperature',
      priority: 'low',
      state: {
        name: 'shelved',
        until: later(now, hours(3)),
        by: 'Robin',
        reason: 'new probe is in the post',
        out: true,
        since: later(now, -hours(30)),
      },
    }),
  ]
}

export function sceneTonight(
  scene: Scene,
  household: Household,
  alarms: readonly Alarm[],
  tended: ReadonlyMap<string, Instant>,
  truth: Truth,
  now: Instant,
): Tonight {
  const places = household.places.map(
    (place): PlaceNow => placeNow(scene, household, place, alarms, tended, truth, now),
  )
  const told = answer(places, alarms, {
    place: (id) => household.places.find((one) => one.id === id)?.name ?? id,
    sensor: (id) => household.sensors.find((one) => one.id === id)?.name ?? id,
    contact: (id) => household.contacts.find((one) => one.id === id)?.name ?? id,
  })
  return Tonight.parse({
    at: now,
    ...told,
    household: household.name,
    practice: scene === 'practice' || scene === 'sitterEmpty',
    night: nightOf(now, household.timeZone, household.night),
    broker: sceneBroker(scene, now),
    places,
    alarms,
  })
}

export const sceneBroker = (scene: Scene, now: Instant): BrokerState =>
  scene === 'unsure'
    ? {
        kind: 'external',
        name: 'down',
        sentence: 'The broker at mqtt.home:1883 does not answer.',
        since: later(now, -minutes(14)),
        retryAt: later(now, seconds(20)),
      }
    : {
        kind: 'embedded',
        name: 'up',
        sentence: 'Listening on port 1883.',
        since: later(now, -hours(70)),
        retryAt: null,
      }

export function sceneJournal(scene: Scene, alarms: readonly Alarm[], now: Instant): JournalLine[] {
  if (scene === 'empty' || scene === 'first' || scene === 'sitterEmpty') return []
  const lines = alarms.map((alarm, i) => ({
    at: 'since' in alarm.state && alarm.state.since !== null ? alarm.state.since : now,
    kind: 'raised' as const,
    by: 'brumal',
    alarm: alarm.id,
    alarmKind: alarm.kind,
    priority: alarm.priority,
    ...(alarm.place === null ? {} : { place: alarm.place }),
    ...(alarm.sensor === null ? {} : { sensor: alarm.sensor }),
    ...(alarm.quantity === null ? {} : { quantity: alarm.quantity }),
    ...(alarm.limit === null ? {} : { limit: alarm.limit }),
    ...(alarm.value === null ? {} : { value: alarm.value }),
    ...(alarm.threshold === null ? {} : { threshold: alarm.threshold }),
    id: 900 + i,
  }))
  const quiet = Array.from({ length: 90 }, (_, i) => ({
    at: later(now, -hours(10 + i * 7)),
    by: i % 3 === 1 ? 'brumal' : 'Robin',
    ...([
      { kind: 'tending' as const, place: 'larder-fridge' },
      { kind: 'brokerUp' as const },
      { kind: 'changed' as const, text: 'Top box: high limit 7.5 °C' },
    ][i % 3] as object),
    id: 899 - i,
  }))
  return [...lines, ...quiet, ...doorLines(now)]
    .sort((a, b) => b.at - a.at)
    .map((line, i, all) => JournalLine.parse({ ...line, id: all.length - i }))
}

function placeNow(
  scene: Scene,
  household: Household,
  place: Place,
  alarms: readonly Alarm[],
  tended: ReadonlyMap<string, Instant>,
  truth: Truth,
  now: Instant,
): PlaceNow {
  const judge = judgeOf(household, place)
  const isSilent = scene === 'unsure' && place.id === 'top-box'
  const values = household.sensors
    .filter((sensor) => sensor.place === (judge?.id ?? place.id))
    .flatMap((sensor, i): ValueNow[] => {
      const at = isSilent ? later(now, -minutes(14)) : later(now, -seconds(7 + i * 16))
      const common = {
        sensor: sensor.id,
        sensorName: sensor.name,
        at,
        quality: 'good',
        fresh: !isSilent,
        lastKnown: false,
      } as const
      const temperature = {
        ...common,
        quantity: 'temperature' as const,
        value: truth(sensor.id, 'temperature', at),
      }
      if (sensor.id === 'fridge-wall') return [temperature]
      return [temperature, { ...common, quantity: 'humidity', value: truth(sensor.id, 'humidity', at) }]
    })
  const animals = household.animals.filter((animal) => animal.place === place.id)
  const own = alarms.filter((alarm) => alarm.place === place.id && isOut(alarm))
  const isIdle = animals.length === 0 && place.ownLimits.length === 0
  return {
    id: place.id,
    name: place.name,
    kind: place.kind,
    parent: place.parent,
    timeZone: place.timeZone ?? household.timeZone,
    animals: animals.map((animal) => ({
      id: animal.id,
      name: animal.name,
      species: animal.species,
      common: profileOf(animal.species)?.common ?? animal.species,
      latin: profileOf(animal.species)?.latin ?? '',
      phase: phaseAt(animal, now).phase,
    })),
    judgedBy: judge?.id ?? null,
    values,
    bands: bandsOf(household, place, now),
    standing: own.length > 0 ? 'out' : isSilent ? 'unsure' : isIdle ? 'idle' : 'safe',
    priority: own[0]?.priority ?? null,
    alarms: own.map((alarm) => alarm.id),
    tendedUntil: tended.get(place.id) ?? null,
    remarks:
      judge !== null && judge.id !== place.id
        ? [`No sensor of its own: judged by ${judge.name}.`]
        : isSilent
          ? ['Nothing heard from Top probe for 14 min.']
          : [],
    ...sceneThermal(scene, place.id, now),
  }
}

const isOut = (alarm: Alarm): boolean =>
  alarm.state.name === 'unacknowledged' ||
  alarm.state.name === 'acknowledged' ||
  ('out' in alarm.state && alarm.state.out)
