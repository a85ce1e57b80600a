import { z } from 'zod'
import { Animal } from './animal.ts'
import { Contact, Telling, usualTelling } from './contact.ts'
import { Logger } from './logger.ts'
import { Hemisphere, NightHours, Place, TimeZone } from './place.ts'
import { Sensor } from './sensor.ts'
import { Guidance, SpeciesProfile } from './species.ts'

/**
 * Everything the keeper sets up, as it goes out and in whole (one YAML document). Bounded (X3): 500 places, 500
 * sensors and 1000 animals are ten times the largest household this is made for.
 */
export const Household = z.strictObject({
  version: z.literal(1),
  name: z.string().min(1).max(60),
  timeZone: TimeZone,
  night: NightHours.default({ from: '20:00', to: '08:00' }),
  /** Decides which months are one winter. */
  hemisphere: Hemisphere.default('north'),
  guidance: Guidance.default('strict'),
  /** The keeper's own, beside the catalogue. */
  profiles: z.array(SpeciesProfile).max(50).default([]),
  places: z.array(Place).max(500).default([]),
  sensors: z.array(Sensor).max(500).default([]),
  animals: z.array(Animal).max(1000).default([]),
  /** What wrote the tables of past winters that were taken in. */
  loggers: z.array(Logger).max(500).optional(),
  /** In the order in which they are told. */
  contacts: z.array(Contact).max(20).default([]),
  telling: Telling.default(usualTelling),
})
export type Household = z.infer<typeof Household>
