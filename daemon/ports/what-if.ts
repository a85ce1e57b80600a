import type { PlaceId } from '../../schemas/ids.ts'
import type { WhatIfAsk, WhatIfBasis, WhatIfId, WhatIfNow } from '../../schemas/what-if.ts'
import type { Outcome } from './outcome.ts'

/** What other limits would have done: a look back by the engine itself, which tells nobody and keeps nothing. */
export interface WhatIfDesk {
  /** What a form begins with; `season` null: the newest with readings. */
  whatIfBasis(place: PlaceId, season: string | null): Outcome<WhatIfBasis, 'noSuchPlace' | 'badSeason'>
  /** Begins in the background; one at a time. */
  startWhatIf(
    ask: WhatIfAsk,
  ): Outcome<
    WhatIfNow,
    'noSuchPlace' | 'badSeason' | 'badStretch' | 'badLimits' | 'nothingStored' | 'alreadyRuns'
  >
  /** How far it is, or what came of it; the last few are kept until Brumal stops. */
  whatIf(id: WhatIfId): Outcome<WhatIfNow, 'noSuchRun'>
  /** Ends it where it goes on, and forgets it where it is over. */
  cancelWhatIf(id: WhatIfId): Outcome<null, 'noSuchRun'>
}
