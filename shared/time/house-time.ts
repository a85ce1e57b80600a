import { days, instant, later, seconds } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'

/**
 * The time that the house judges by. It follows the wall's clock as long as that is believable, and the time since
 * boot when it is not (N3). Plain data.
 */
export interface HouseTime {
  /** Whether the wall's clock is believed. While it is not, the time is assumed: at least so late, perhaps later. */
  readonly isTrusted: boolean
  /** The house's time less the uptime, in ms. */
  readonly offset: number
  /** The latest time that anybody can have seen; shown time stays here until it has caught up. */
  readonly shown: Instant
  /** The uptime of the last step. */
  readonly steppedAt: Millis
  readonly floor: Instant
  /** While the wall's clock is not believed: it is again from this instant on. */
  readonly believedFrom: Instant
  /** Sensors' own times are believed up to here; null where nothing stored says how late it may be. */
  readonly heardUntil: Instant | null
  /** The last own times that lay ahead while the time was assumed, oldest first. */
  readonly heard: readonly Heard[]
}

/**
 * What happened to the time. Everything remembered by the house's time is to be moved from `was` to `at`; `by` is how
 * far, in ms, but for `lostTrust`: there the house's time goes on, and `by` is how far off the wall's clock is.
 */
export interface TimeEvent {
  readonly kind: 'jumped' | 'becameTrusted' | 'lostTrust'
  readonly was: Instant
  readonly at: Instant
  readonly by: number
}

/** What the two clocks of this machine show at one moment. */
export interface Clocks {
  readonly wall: Instant
  /** Since boot; never jumps. */
  readonly uptime: Millis
  /** The machine has its time from a server: then any date since the program existed is believed. Absent: it cannot say. */
  readonly isSynchronised?: boolean
}

/** No clock that shows a date before this is right: the program did not exist then. */
export const earliestPlausible: Instant = instant(Date.UTC(2026, 0, 1))

/** A stored reading may be stamped so far ahead of a right clock (L5), ends included. */
export const storedAhead: Millis = seconds(60)

/** The wall may part from the house's time so far, ends included, before that is a jump. Derived: far below the shortest delay and the 60 s of L5. */
export const silentlyFollowed: Millis = seconds(2)

/**
 * Smaller differences are made up at this part of the time that passes. Derived: clocks that are slewed run up to
 * 0.05 % off (RFC 5905 §12, 500 ppm), some programs go to 8 % ("common practice, no source"). A clock that stands still
 * is not followed into standing still.
 */
export const catchUp = 0.1

/** No clock is set back by more: whoever keeps animals over winter sees the date at least once in a year and a month. Derived. */
export const farthestBack: Millis = days(400)

/** A sensor's own time is not believed farther than this from the newest stored instant, for the same reason. */
export const farthestAhead: Millis = days(400)

/** Own times agree within this, ends included: as far ahead as a reading may be stamped (L5). */
export const agreeWithin: Millis = seconds(60)

/** Two own times are two witnesses only this far apart: one burst of messages is one. Derived. */
export const heardApart: Millis = seconds(1)

/** So many are remembered, so that sensors with wrong clocks among right ones do not hide those. */
const mostHeard = 8

/** The time at the start of the daemon. `newest`: the newest stored instant, if there is any. */
export function startTime({
  wall,
  uptime,
  isSynchronised = false,
  newest,
  floor,
}: Clocks & { readonly newest: Instant | null; readonly floor: Instant }): HouseTime {
  const believedFrom = newest === null ? floor : latest(floor, later(newest, -storedAhead))
  const isTrusted = wall >= (isSynchronised ? floor : believedFrom)
  const now = isTrusted ? wall : latest(floor, newest ?? floor)
  return {
    isTrusted,
    offset: now - uptime,
    shown: now,
    steppedAt: uptime,
    floor,
    believedFrom,
    heardUntil: newest === null ? null : later(newest, farthestAhead),
    heard: [],
  }
}

/** The house's time. Between two steps it never goes back and never jumps; over a step only with an event. */
export const nowOf = (state: HouseTime, { uptime }: Pick<Clocks, 'uptime'>): Instant =>
  latest(state.shown, instant(uptime + state.offset))

/** Looks at the clocks. To be called twice a second or so: what happens in between is seen at the next step. */
export function stepTime(
  state: HouseTime,
  { wall, uptime, isSynchronised = false }: Clocks,
): readonly [HouseTime, TimeEvent | null] {
  const was = nowOf(state, { uptime })
  const stepped: HouseTime = { ...state, shown: was, steppedAt: uptime }
  if (!state.isTrusted)
    return wall < (isSynchronised ? state.floor : state.believedFrom)
      ? [stepped, null]
      : [
          { ...setTo(stepped, wall), isTrusted: true, heard: [] },
          { kind: 'becameTrusted', was, at: wall, by: wall - was },
        ]
  const apart = wall - (uptime + state.offset)
  if (Math.abs(apart) <= silentlyFollowed) {
    const most = Math.floor((uptime - state.steppedAt) * catchUp)
    return [{ ...stepped, offset: state.offset + Math.max(-most, Math.min(most, apart)) }, null]
  }
  const believedFrom = isSynchronised ? state.floor : latest(state.floor, later(was, -farthestBack))
  if (wall < believedFrom)
    return [
      { ...stepped, isTrusted: false, believedFrom, heardUntil: later(was, farthestAhead) },
      { kind: 'lostTrust', was, at: was, by: wall - was },
    ]
  return [setTo(stepped, wall), { kind: 'jumped', was, at: wall, by: wall - was }]
}

/**
 * Takes in a reading's own time. While the time is assumed, two of them that agree move it forward: it cannot be
 * earlier than two clocks say that went on while ours stood still. The wall's clock is believed no sooner for it.
 */
export function evidence(
  state: HouseTime,
  { stamp, uptime }: { readonly stamp: Instant; readonly uptime: Millis },
): readonly [HouseTime, TimeEvent | null] {
  const was = nowOf(state, { uptime })
  // What is hardly ahead is taken as it is (L5) and is no reason to move the time.
  if (state.isTrusted || stamp <= was + agreeWithin) return [state, null]
  if (state.heardUntil !== null && stamp > state.heardUntil) return [state, null]
  const offset = stamp - uptime
  const witness = state.heard.find(
    (one) => uptime - one.uptime >= heardApart && Math.abs(one.offset - offset) <= agreeWithin,
  )
  if (witness === undefined) {
    const isBurst = state.heard.some(
      (one) => uptime - one.uptime < heardApart && Math.abs(one.offset - offset) <= agreeWithin,
    )
    return [
      isBurst ? state : { ...state, heard: [...state.heard, { offset, uptime }].slice(-mostHeard) },
      null,
    ]
  }
  // A message may come late but never early, so the later of the two is nearer.
  const at = instant(uptime + Math.max(offset, witness.offset))
  return [
    { ...setTo({ ...state, steppedAt: uptime }, at), heard: [] },
    { kind: 'jumped', was, at, by: at - was },
  ]
}

interface Heard {
  /** The reading's own time less the uptime at which it came, in ms. */
  readonly offset: number
  readonly uptime: Millis
}

/** `state`, stepped just now, with the time set. */
const setTo = (state: HouseTime, at: Instant): HouseTime => ({
  ...state,
  offset: at - state.steppedAt,
  shown: at,
})

const latest = (one: Instant, other: Instant): Instant => (one > other ? one : other)
