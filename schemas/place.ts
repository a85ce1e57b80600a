import { z } from 'zod'
import { LimitName, Priority } from './band.ts'
import { days } from './amounts.ts'
import { Culture } from './culture.ts'
import { PlaceId } from './ids.ts'
import { Quantity } from './quantity.ts'
import { Trial } from './trial.ts'
import { Millis } from './units.ts'

export const PlaceKind = z.enum(['fridge', 'box', 'coldRoom', 'frame', 'enclosure', 'culture', 'room'])
export type PlaceKind = z.infer<typeof PlaceKind>

/** IANA time zone name known to this machine. */
export const TimeZone = z.string().max(60).refine(isTimeZone, 'not a time zone name such as Europe/Vienna')

export const Hemisphere = z.enum(['north', 'south'])
export type Hemisphere = z.infer<typeof Hemisphere>

/** Local wall-clock time, `20:00`. */
export const WallTime = z.string().regex(/^(?:[01]\d|2[0-3]):[0-5]\d$/, 'expected a time such as 20:00')

/** Local evening to local morning; a night is named by its evening date. */
export const NightHours = z.strictObject({ from: WallTime, to: WallTime })
export type NightHours = z.infer<typeof NightHours>

/** A limit that the keeper sets for a place by hand; it tightens or stands in for what the animals need. */
export const OwnLimit = z.strictObject({
  quantity: Quantity,
  limit: LimitName,
  value: z.number(),
  for: Millis.optional(),
  clearFor: Millis.optional(),
  deadband: z.number().min(0).optional(),
  priority: Priority.optional(),
})
export type OwnLimit = z.infer<typeof OwnLimit>

/** Longer is no box but a cellar: a tonne of soil follows within days. Derived. */
const longestLag = days(3)

/** A cellar of a thousand cubic metres. Derived: no household's room holds more. */
const mostLitres = 1_000_000

/** Anything watched. Places nest: a box is inside a fridge, a fridge is inside a room. */
export const Place = z.strictObject({
  id: PlaceId,
  name: z.string().min(1).max(60),
  kind: PlaceKind,
  parent: PlaceId.nullable().default(null),
  timeZone: TimeZone.optional(),
  night: NightHours.optional(),
  ownLimits: z.array(OwnLimit).max(24).default([]),
  /** Time constant with which the animals here follow the air, measured or entered (L11). */
  animalLag: Millis.max(longestLag).optional(),
  /** `off`: limits near freezing are taken as they stand, without the sensor's uncertainty (L9). */
  guardBand: z.literal('off').optional(),
  trial: Trial.optional(),
  /** Free air inside, L: what the animals breathe while it is shut. */
  litres: z.number().positive().max(mostLitres).optional(),
  /** Of a live-food culture: what it holds and what a week takes (S5). */
  culture: Culture.optional(),
})
export type Place = z.infer<typeof Place>

function isTimeZone(name: string): boolean {
  try {
    new Intl.DateTimeFormat('en', { timeZone: name })
    return true
  } catch {
    return false // RangeError is how Intl says that it does not know the zone
  }
}
