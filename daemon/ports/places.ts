import type { PlaceAir } from '../../schemas/air.ts'
import type { NightCurve, Winter } from '../../schemas/api.ts'
import type { PlaceCost } from '../../schemas/cost.ts'
import type { PlaceId, SpeciesId } from '../../schemas/ids.ts'
import type { PlaceLag } from '../../schemas/lag.ts'
import type { PlaceOutlook } from '../../schemas/outlook.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { TrialAct, TrialKept, TrialNow } from '../../schemas/trial-report.ts'
import type { Instant } from '../../schemas/units.ts'
import type { EditRefusal } from './household.ts'
import type { Outcome } from './outcome.ts'

/** Why a trial run does not begin or move. */
type TrialRefusal =
  | EditRefusal
  | 'animalsDown'
  | 'alreadyRuns'
  | 'nothingRuns'
  | 'noSensor'
  | 'plugIsOut'
  | 'plugIsIn'
  | 'tooManyPlugs'

/** What is drawn and worked out of a place. */
export interface PlaceDesk {
  /** One night of one place; `date` is the evening date; null for the night now running or, by day, from the last evening to now. */
  nightCurve(
    place: PlaceId,
    quantity: Quantity,
    date: string | null,
  ): Outcome<NightCurve, 'noSuchPlace' | 'badDate'>
  /** Every night of a season (`2026` or `2026/27`); null for the season now. */
  winter(
    place: PlaceId,
    quantity: Quantity,
    season: string | null,
  ): Outcome<Winter, 'noSuchPlace' | 'badSeason'>
  /** What a stretch up to now at the latest did to one place, by temperature; at most 400 days. */
  cost(place: PlaceId, from: Instant, to: Instant): Promise<Outcome<PlaceCost, 'noSuchPlace' | 'badStretch'>>
  /** How fast the animals' side follows the air, by the probe in the substrate of the last 14 days. */
  lag(place: PlaceId): Promise<Outcome<PlaceLag, 'noSuchPlace'>>

  /** How long it has until each limit if the power failed now, or if it cooled without a stop; or why that is not known. */
  outlook(place: PlaceId): Promise<Outcome<PlaceOutlook, 'noSuchPlace'>>

  /** How dry its air was up to now at the latest, and how long its coldest surface was wet; at most 31 days. */
  air(place: PlaceId, from: Instant, to: Instant): Promise<Outcome<PlaceAir, 'noSuchPlace' | 'badStretch'>>

  /** What running the place empty showed; `species` null: those that are to go down there. */
  trial(
    place: PlaceId,
    species: readonly SpeciesId[] | null,
  ): Promise<Outcome<TrialNow, 'noSuchPlace' | 'noSuchSpecies'>>
  actOnTrial(place: PlaceId, act: TrialAct, by: string): Outcome<TrialKept, TrialRefusal>
}
