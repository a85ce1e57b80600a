import type { PlaceId } from '../../schemas/ids.ts'

/**
 * The live show, in time-lapse: what a place's sensors feel `sinceLive` ms after it began, where physics says `celsius`.
 * The cellar fridge cools on and on, and the box that touches its plate feels it most: after 10 s the tortoises' box
 * falls; at about 28 s it is at 1 °C or less and stays there until about 134 s, so that a limit with an on-delay of 60 s
 * is raised at about 90 s; it is above 2 °C from about 145 s and well at 168 s. Then ten calm minutes, and again.
 */
export function drifted(place: PlaceId, sinceLive: number, celsius: number): number {
  const end = ends[place]
  if (end === undefined) return celsius
  return celsius + (end - celsius) * weightAt(sinceLive % CYCLE_MS)
}

/** 170 s of drift and 600 s of calm. */
const CYCLE_MS = 770_000

/** Where each place ends up at the worst; all but the one box stay inside their bands for the time it takes. */
const ends: Readonly<Record<string, number>> = {
  'cellar-fridge': 2.1,
  'juniper-box': 0.2,
  'clover-box': 3.7,
  'marsh-box': 3.5,
}

const FALLS_FROM = 10_000
const DOWN_AT = 32_000
const RISES_FROM = 126_000
const WELL_AT = 168_000

function weightAt(ms: number): number {
  if (ms <= FALLS_FROM || ms >= WELL_AT) return 0
  if (ms < DOWN_AT) return (ms - FALLS_FROM) / (DOWN_AT - FALLS_FROM)
  return ms <= RISES_FROM ? 1 : (WELL_AT - ms) / (WELL_AT - RISES_FROM)
}
