import type { AnimalReport, SeasonReport } from '../../schemas/animal-report.ts'
import type { AnimalId, PlaceId, SensorId } from '../../schemas/ids.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Outcome } from './outcome.ts'

/** What goes out on paper and in files. */
export interface ReportDesk {
  /** `season` null: the one now. */
  animalReport(
    animal: AnimalId,
    season: string | null,
  ): Promise<Outcome<AnimalReport, 'noSuchAnimal' | 'badSeason'>>
  /** The same as one self-contained HTML page. */
  animalPage(animal: AnimalId, season: string | null): Promise<Outcome<string, 'noSuchAnimal' | 'badSeason'>>
  seasonReport(season: string | null): Promise<Outcome<SeasonReport, 'badSeason'>>
  seasonPage(season: string | null): Promise<Outcome<string, 'badSeason'>>
  /** The style that those pages carry: the only one that they may be shown with. */
  readonly reportStyle: string
  /** RFC 4180, one line a night: least, mean, greatest, and the time on each side of the band. */
  nightsCsv(
    place: PlaceId,
    quantity: Quantity,
    season: string | null,
  ): Outcome<string, 'noSuchPlace' | 'badSeason'>
  /** As `brumal replay` reads them; at most 31 days. */
  readingsCsv(
    sensor: SensorId,
    quantity: Quantity,
    from: Instant,
    to: Instant,
  ): Outcome<string, 'noSuchSensor' | 'badStretch'>
  /** Newest last. */
  journalCsv(from: Instant, to: Instant): Outcome<string, 'badStretch'>
}
