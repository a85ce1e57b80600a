import type { PlaceKind } from '../../schemas/place.ts'
import type { TrialAdviceAbout, TrialReport } from '../../schemas/trial-report.ts'
import type { Judged, VerdictGiven } from './trial-verdict.ts'
import type { HoldLimit } from './trial-walk.ts'

/** One thing to change before the winter. */
export interface Advice {
  readonly about: TrialAdviceAbout
  readonly says: string
}

/** The figures of a trial that advice goes by. */
export interface AdviceAsked {
  readonly kind: PlaceKind
  readonly report: Omit<TrialReport, 'advice'>
  readonly judged: readonly Judged[]
  /** Of each species that may go down. */
  readonly given: readonly { readonly limits: readonly HoldLimit[]; readonly verdict: VerdictGiven }[]
}
