import type { TriedBand } from './band.ts'
import { highHarmAfter } from './definitions.ts'

export interface Harm {
  readonly at: number
  readonly side: 'low' | 'high'
}

/** Looks at the truth step by step; the first harm stays. */
export function harmWatch({ lowCritical, highCritical }: TriedBand) {
  let harm: Harm | null = null
  let above: number | null = null
  return {
    see(at: number, truth: number): void {
      if (harm !== null) return
      if (truth <= lowCritical) harm = { at, side: 'low' }
      if (truth < highCritical) above = null
      else {
        above ??= at
        if (at - above >= highHarmAfter) harm = { at, side: 'high' }
      }
    },
    harm: (): Harm | null => harm,
  }
}
