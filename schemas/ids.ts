import { z } from 'zod'

/** Lower-case letters, digits and inner hyphens, 1 to 40 characters: safe in topics, paths and file names. */
const Slug = z
  .string()
  .regex(/^[a-z0-9](?:[a-z0-9-]{0,38}[a-z0-9])?$/, 'use a-z, 0-9 and inner hyphens, at most 40')

export const SensorId = Slug.brand<'SensorId'>()
export type SensorId = z.infer<typeof SensorId>

export const PlaceId = Slug.brand<'PlaceId'>()
export type PlaceId = z.infer<typeof PlaceId>

export const AnimalId = Slug.brand<'AnimalId'>()
export type AnimalId = z.infer<typeof AnimalId>

export const SpeciesId = Slug.brand<'SpeciesId'>()
export type SpeciesId = z.infer<typeof SpeciesId>

export const PersonId = Slug.brand<'PersonId'>()
export type PersonId = z.infer<typeof PersonId>

export const ContactId = Slug.brand<'ContactId'>()
export type ContactId = z.infer<typeof ContactId>

export const ChannelId = Slug.brand<'ChannelId'>()
export type ChannelId = z.infer<typeof ChannelId>

/** An entry of the diary, named by whoever makes it: sent twice it is one. */
export const EntryId = Slug.brand<'EntryId'>()
export type EntryId = z.infer<typeof EntryId>

export const PictureId = Slug.brand<'PictureId'>()
export type PictureId = z.infer<typeof PictureId>

/** Names the standing condition, not one occurrence of it: `limit:box-1:temperature:lowCritical`, `silent:probe-1`, `brokerLost:house`. */
export const AlarmId = z
  .string()
  .max(160)
  .regex(/^[a-z][A-Za-z]*(?::[A-Za-z0-9-]+)+$/, 'not an alarm id')
  .brand<'AlarmId'>()
export type AlarmId = z.infer<typeof AlarmId>

export { slugOf } from './slug.ts'
