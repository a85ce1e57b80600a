import { z } from 'zod'
import { PlanStep } from './animal.ts'
import { AnimalId, EntryId, PictureId, PlaceId } from './ids.ts'
import { Instant } from './units.ts'

/** What is asked of an animal before it goes down; of each, yes is well. */
export const HealthQuestion = z.enum([
  'speciesSure', // species and lineage are known for certain
  'seenByVet', // a reptile vet has seen it since midsummer
  'faecesTested', // parasites looked for two months ahead, treatment finished
  'notGravid', // no eggs held back
  'eyesClear',
  'noseClear',
  'mouthClean', // no plaque, no food left
  'skinWhole', // no wound, swelling or red plastron, no recent surgery
  'wellThisSeason', // no illness since spring
  'fedWell',
  'drinksWell',
])
export type HealthQuestion = z.infer<typeof HealthQuestion>

export const HealthAnswer = z.enum(['yes', 'no', 'unsure', 'notAsked'])
export type HealthAnswer = z.infer<typeof HealthAnswer>

/** Seen on an animal in or after the cold: each sends to a reptile vet. */
export const DangerSign = z.enum([
  'discharge', // from nose or eyes
  'swelling',
  'redPlastron',
  'mouthPlaque',
  'mould',
  'rodentDamage',
  'circling',
  'headTilt',
  'noResponse',
  'weakness',
  'other',
])
export type DangerSign = z.infer<typeof DangerSign>

const grams = z.number().positive().max(500_000)
const centimetres = z.number().positive().max(1000)

/** What was seen or done. Masses in g, lengths in cm. */
export const DiaryNote = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('weighed'),
    grams,
    /** The scale's step, g. */
    scaleStep: z.number().positive().max(100).optional(),
    /** How its box was found: wet in a cold box is most likely urine. */
    box: z.enum(['dry', 'wet']).optional(),
  }),
  z.strictObject({
    kind: z.literal('measured'),
    /** Straight carapace length; snout to vent in lizards and amphibians; whole length in snakes. */
    length: centimetres.optional(),
    width: centimetres.optional(),
    height: centimetres.optional(),
    girth: centimetres.optional(),
  }),
  /** By eye and touch: 1 to 5, ideal 3; or 1 to 9, good 4 to 6. */
  z.strictObject({
    kind: z.literal('scored'),
    scale: z.enum(['visualFive', 'visualNine']),
    score: z.number().min(1).max(9),
  }),
  z.strictObject({ kind: z.literal('checked'), answers: z.partialRecord(HealthQuestion, HealthAnswer) }),
  z.strictObject({ kind: z.literal('bathed'), drank: z.boolean().optional() }),
  z.strictObject({ kind: z.literal('drank') }),
  z.strictObject({
    kind: z.literal('fed'),
    food: z.string().max(80).optional(),
    grams: grams.optional(),
    eaten: z.enum(['all', 'some', 'none']),
  }),
  z.strictObject({ kind: z.literal('passed'), faeces: z.boolean(), urates: z.boolean(), urine: z.boolean() }),
  /** It moved or dug though it is in hold. */
  z.strictObject({ kind: z.literal('active') }),
  z.strictObject({ kind: z.literal('sign'), signs: z.array(DangerSign).min(1).max(11) }),
  z.strictObject({ kind: z.literal('vet'), clears: z.boolean() }),
  z.strictObject({ kind: z.literal('photographed'), picture: PictureId }),
  z.strictObject({ kind: z.literal('said') }),
  /** Somebody looked at it, or at all in a place. */
  z.strictObject({ kind: z.literal('looked') }),
  z.strictObject({ kind: z.literal('aired') }),
  /** Of a live-food culture: counted, bought in, taken out; in the culture's own unit. */
  z.strictObject({ kind: z.literal('counted'), amount: z.number().min(0).max(1e6) }),
  z.strictObject({ kind: z.literal('added'), amount: z.number().positive().max(1e6) }),
  z.strictObject({ kind: z.literal('taken'), amount: z.number().positive().max(1e6) }),
  // Written by Brumal as the acts happen, never by a form.
  z.strictObject({
    kind: z.literal('coolingBegan'),
    steps: z.array(PlanStep).max(40),
    /** Why it went down though something was missing (S1). */
    anyway: z.string().max(300).optional(),
  }),
  z.strictObject({ kind: z.literal('warmingBegan'), why: z.string().max(300) }),
])
export type DiaryNote = z.infer<typeof DiaryNote>
export type DiaryKind = DiaryNote['kind']
export const DiaryKind = z.enum(DiaryNote.options.map((option) => option.shape.kind.value))
export type NoteOf<Kind extends DiaryKind> = Extract<DiaryNote, { kind: Kind }>

const entry = {
  id: EntryId,
  at: Instant,
  animal: AnimalId.optional(),
  place: PlaceId.optional(),
  note: DiaryNote,
  text: z.string().trim().max(1000).optional(),
}

/** What somebody noted of an animal or of a place: of exactly one of the two. */
export const DiaryEntry = z
  .strictObject(entry)
  .refine(({ animal, place }) => (animal === undefined) !== (place === undefined), {
    message: 'name either an animal or a place',
    path: ['animal'],
  })
export type DiaryEntry = z.infer<typeof DiaryEntry>

/** An entry as it is kept: by whom, and when it was written down. */
export const DiaryLine = z.strictObject({ ...entry, by: z.string().max(60), notedAt: Instant })
export type DiaryLine = z.infer<typeof DiaryLine>

/** What a table would bring, or brought. Nothing is written while one line is at fault. */
export const ImportedDiary = z.strictObject({
  entries: z.array(DiaryEntry).readonly(),
  /** So many more stand already and are left as they are. */
  known: z.int().min(0),
  /** What was not understood; `line` as a text editor counts. */
  faults: z.array(z.strictObject({ line: z.int().min(1), sentence: z.string() })).readonly(),
  isKept: z.boolean(),
})
export type ImportedDiary = z.infer<typeof ImportedDiary>
export type ImportFault = ImportedDiary['faults'][number]
