import type { Alarm } from '../../schemas/alarm.ts'
import { later } from '../../schemas/amounts.ts'
import type { Channel, Contact } from '../../schemas/contact.ts'
import type { LimitName } from '../../schemas/band.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { judgeOf } from '../../shared/judging/silence.ts'
import type { WatchState } from '../../shared/judging/watch-state.ts'
import { answerPurpose, type LinkPurpose, purposeText, ringPurpose } from '../../shared/telling/link.ts'
import type { MessageWorld } from '../../shared/telling/message-world.ts'
import { paceOver, timeUntil } from '../../shared/thermal/trend.ts'
import type { Seal } from '../ports/seal.ts'
import type { Store } from '../ports/store.ts'
import { namesIn } from './names.ts'
import { staysSo } from './outlook-for-alarm.ts'
import type { OutlookMemory } from './outlook-now.ts'
import { say } from '../../shared/words/say.ts'

/** What messages are made from, besides the watch. */
export interface MessageSources {
  readonly store: Pick<Store, 'readings'>
  readonly seal: Seal
  /** Where phones reach the page, without a slash at the end. */
  readonly address: () => string
  readonly isPractice: boolean
  /** What is to be done today, in short lines; absent where nobody is to be reminded (S4). */
  readonly tasksToday?: () => readonly string[]
  /** What was learnt of each place's walls and filling, where anything was. */
  readonly outlooks?: OutlookMemory
}

export function messageWorld(
  sources: MessageSources,
  watch: WatchState,
  contact: Contact,
  channel: Channel,
  at: Instant,
): MessageWorld {
  const { household, places, placeIndex } = watch.layout
  const hereOf = (place: string) => {
    const p = placeIndex.get(place as never)
    return p === undefined ? undefined : places[p]
  }
  /** A message without a link that answers is better than none. */
  const linkOf = (purpose: LinkPurpose, now: boolean): string | null => {
    try {
      return `${sources.address()}/answer${now ? '?now' : ''}#${sources.seal.seal(purposeText(purpose))}`
    } catch {
      return null
    }
  }
  return {
    names: namesIn(household),
    kindOf: (place) => hereOf(place)?.place.kind ?? null,
    animalsIn: (place) =>
      (hereOf(place)?.tenants ?? []).map(({ animal, profile }) => ({
        name: animal.name,
        common: profile.common,
      })),
    valueNow: (alarm) => newestOf(watch, alarm)?.value ?? null,
    staysSo: (alarm) => staysSo(watch, sources.outlooks ?? null, alarm, at),
    untilDanger: (alarm) => untilDanger(sources.store, watch, alarm, at),
    units: contact.units,
    timeZone: contact.timeZone ?? household.timeZone,
    household: sources.isPractice
      ? say('{household} (practice)', { household: household.name })
      : household.name,
    isPractice: sources.isPractice,
    // Where no link can be made, the page on which one signs in.
    linkTo: (alarm) =>
      (alarm === null ? null : linkOf(answerPurpose(alarm, contact.id, at), false)) ??
      `${sources.address()}/alarms`,
    dayLink: `${sources.address()}/day`,
    acknowledgeLinkTo: (alarm) => linkOf(answerPurpose(alarm, contact.id, at), true),
    ringLink: (isAtOnce) => linkOf(ringPurpose(channel.id, contact.id, at), isAtOnce),
  }
}

/** The newest believed value of the sensor that the alarm is about: of its place, the one that is furthest out. */
function newestOf(
  watch: WatchState,
  alarm: Alarm,
): { readonly s: number; readonly at: Instant; readonly value: number } | null {
  const { quantity } = alarm
  if (quantity === null) return null
  const found = sensorsOf(watch, alarm).flatMap((s) => {
    const series = watch.sensors[s]?.series[quantity]
    return series === undefined || series.good === null || series.stale ? [] : [{ s, ...series.good }]
  })
  const isLow = alarm.limit === 'low' || alarm.limit === 'lowCritical'
  found.sort((one, other) => (isLow ? one.value - other.value : other.value - one.value))
  return found[0] ?? null
}

function sensorsOf(watch: WatchState, alarm: Alarm): readonly number[] {
  if (alarm.sensor !== null) {
    const s = watch.layout.sensorIndex.get(alarm.sensor)
    return s === undefined ? [] : [s]
  }
  const p = alarm.place === null ? undefined : watch.layout.placeIndex.get(alarm.place)
  const judge = p === undefined ? null : judgeOf(watch, p)
  return judge === null ? [] : (watch.layout.places[judge]?.sensors ?? [])
}

function untilDanger(
  store: Pick<Store, 'readings'>,
  watch: WatchState,
  alarm: Alarm,
  at: Instant,
): Millis | null {
  const critical: LimitName | null =
    alarm.limit === 'low' ? 'lowCritical' : alarm.limit === 'high' ? 'highCritical' : null
  const newest = newestOf(watch, alarm)
  const p = alarm.place === null ? undefined : watch.layout.placeIndex.get(alarm.place)
  if (critical === null || newest === null || p === undefined || alarm.quantity === null) return null
  const limit = watch.places[p]?.rules.bands[alarm.quantity]?.[critical]
  const sensor = watch.sensors[newest.s]?.id
  if (limit === undefined || limit === null || sensor === undefined) return null
  try {
    const points = store
      .readings(sensor, alarm.quantity, later(at, -paceOver), later(at, 1))
      .flatMap((reading) => (reading.quality === 'good' ? [[reading.at, reading.value] as const] : []))
    return timeUntil(limit.value, [
      ...points,
      ...(points.at(-1)?.[0] === newest.at ? [] : [[newest.at, newest.value] as const]),
    ])
  } catch {
    return null // a store that cannot be read must not keep a message from going out (N2)
  }
}
