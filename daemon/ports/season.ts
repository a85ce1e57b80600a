import type { Animal, PlanStep, PlanWish } from '../../schemas/animal.ts'
import type { CultureNow } from '../../schemas/culture.ts'
import type { DiaryEntry, DiaryKind, DiaryLine, ImportedDiary } from '../../schemas/diary.ts'
import type { AnimalId, EntryId, PictureId, PlaceId, SpeciesId } from '../../schemas/ids.ts'
import type { AnimalStanding, DayList, PlanProposal, SeasonNow } from '../../schemas/season.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Outcome } from './outcome.ts'

export interface DiaryQuery {
  readonly animal?: AnimalId
  readonly place?: PlaceId
  readonly kinds?: readonly DiaryKind[]
  readonly from?: Instant
  /** Left out. */
  readonly to?: Instant
  /** The newest so many; all where it is absent. */
  readonly limit?: number
}

export type PictureType = 'image/jpeg' | 'image/png' | 'image/webp'

export interface Picture {
  readonly type: PictureType
  readonly bytes: Uint8Array
}

/**
 * What people noted, and pictures. In the same database. Nothing is written over: a changed entry is kept beside the
 * one that it takes the place of, a removed one is only hidden.
 */
export interface DiaryStore {
  /** Entries that stand, newest first by their own time. */
  entries(query: DiaryQuery): readonly DiaryLine[]
  /** As it stands; null where there is none or it was removed. */
  entry(id: EntryId): DiaryLine | null
  /** All of them in one transaction; the same entry again stands as sent last. */
  saveEntries(lines: readonly DiaryLine[]): void
  /** All of them in one transaction; those that do not stand are passed over. */
  removeEntries(ids: readonly EntryId[], by: string, at: Instant): void
  /** What is kept of an animal or a place, corrections and removals among it. */
  rows(about: { readonly animal?: AnimalId | undefined; readonly place?: PlaceId | undefined }): number
  savePicture(id: PictureId, picture: Picture, at: Instant): void
  picture(id: PictureId): Picture | null
  /** Removes pictures saved before, but for those in `keep` and those that an entry names, standing or hidden. */
  sweepPictures(before: Instant, keep: readonly PictureId[]): void
  /** How many, and their bytes in all. */
  pictures(): { readonly count: number; readonly bytes: number }
}

export type DiaryRefusal =
  | 'noSuchAnimal'
  | 'noSuchPlace'
  | 'noSuchEntry'
  | 'inFuture'
  | 'notByHand'
  /** Somebody else noted it. */
  | 'notYours'
  | 'noSuchPicture'
  /** Its bytes are not of the type that it was sent as. */
  | 'notAPicture'
  /** Another picture has this id. */
  | 'idTaken'
  | 'tooMany'
  | 'notStored'

/** Whose entries somebody may change or remove: everybody's, where it is left out. */
export type MayChange = 'all' | 'own'

/** What people note of animals and places. */
export interface DiaryDesk {
  diary(query: DiaryQuery): readonly DiaryLine[]
  /** Puts it in, or in the place of the one with its id: sent twice it is one. */
  saveEntry(entry: DiaryEntry, by: string, may?: MayChange): Outcome<DiaryLine, DiaryRefusal>
  /** Saving it again brings it back. */
  removeEntry(id: EntryId, by: string): Outcome<null, DiaryRefusal>
  /** All or none of them; those that do not stand are passed over. Takes an import back. */
  removeEntries(ids: readonly EntryId[], by: string, may?: MayChange): Outcome<null, DiaryRefusal>
  savePicture(id: PictureId, picture: Picture): Outcome<null, DiaryRefusal>
  picture(id: PictureId): Picture | null
  /** RFC 4180; `isTrial`: only looked through. Its entries' ids come from what is in them, so that a second time adds nothing. */
  importDiary(csv: string, isTrial: boolean, by: string): Outcome<ImportedDiary, DiaryRefusal>
  /** Every entry that stands, RFC 4180, as `importDiary` takes it. */
  exportDiary(): string
}

export type PlanRefusal =
  | 'noSuchAnimal'
  | 'noSuchPlace'
  | 'noSuchSpecies'
  | 'mustNotGoDown'
  | 'bandsConflict'
  | 'tooMany'
  /** Past a cap (S3). */
  | 'pastCap'
  /** The gate is shut (S1). */
  | 'notReady'
  | 'nothingPlanned'
  | 'notDown'
  | 'notStored'

/** The winter of each animal. `anyway`: the reason for doing it though a rule says no; kept in the journal. */
export interface SeasonDesk {
  season(): SeasonNow
  standing(animal: AnimalId): Outcome<AnimalStanding, 'noSuchAnimal'>
  propose(animal: AnimalId, wish: PlanWish): Outcome<PlanProposal, 'noSuchAnimal' | 'mustNotGoDown'>
  /** Empty steps and no wish: nothing is being prepared any more. */
  saveDraft(
    animal: AnimalId,
    draft: { readonly steps: readonly PlanStep[]; readonly wish: PlanWish | null },
    by: string,
    anyway?: string,
  ): Outcome<Animal, PlanRefusal>
  /** The draft comes into force, through the gate (S1). */
  beginCooling(animal: AnimalId, by: string, anyway?: string): Outcome<Animal, PlanRefusal>
  /** Ends cooling or hold now; `why` stands in journal and diary. */
  beginWarming(animal: AnimalId, by: string, why: string): Outcome<Animal, PlanRefusal>
  /** What is to be done today and in the next `days`. */
  day(days: number): DayList
  cultures(): readonly CultureNow[]
  /** The reminders of the next months and every plan, as an iCalendar object; `link` opens the day's page. */
  calendar(link: string): string
  saveProfile(profile: SpeciesProfile, by: string): Outcome<SpeciesProfile, ProfileRefusal>
  removeProfile(id: SpeciesId, by: string): Outcome<null, ProfileRefusal>
}

export type ProfileRefusal =
  | OwnFault
  | 'inUse'
  | 'catalogued'
  | 'noSuchSpecies'
  | 'bandsConflict'
  | 'tooMany'
  | 'notStored'

/** Why a profile of the keeper's own cannot stand. */
type OwnFault =
  | 'badId'
  | 'noReason'
  | 'noLimits'
  | 'noSource'
  | 'mustNotGoDown'
  | 'ruleNotValid'
  | 'inconsistent'
