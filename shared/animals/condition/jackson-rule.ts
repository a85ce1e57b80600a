import type { RuleFinding } from '../../../schemas/condition.ts'
import { jacksonRatio } from './indices.ts'
import { say } from '../../words/say.ts'

/** What one rule says of valid inputs, or why it says nothing. */
export type Said =
  | (Pick<RuleFinding, 'verdict' | 'sentence'> & { readonly isValid: true; readonly value: number })
  | { readonly isValid: false; readonly sentence: string }

/**
 * Below `block`: must not go down; below `vet`: to a vet first; up to `heavy`: passes. Derived between the
 * anchor points of the British Chelonia Group: 0.16 underweight, 0.17 light, 0.19 normal, 0.21 ideal, 0.23
 * possibly eggs or fluid.
 */
const jacksonCuts = { block: 0.16, vet: 0.18, heavy: 0.22 } as const

export function jacksonFinding(grams: number, lengthCm: number): Said {
  const value = jacksonRatio(grams, lengthCm)
  return { isValid: true, value, ...verdictOf(value) }
}

function verdictOf(ratio: number): Pick<RuleFinding, 'verdict' | 'sentence'> {
  if (below(ratio, jacksonCuts.block))
    return { verdict: 'block', sentence: say('Underweight: it must not go down. Ask a reptile vet.') }
  if (below(ratio, jacksonCuts.vet))
    return { verdict: 'vet', sentence: say('Light: let a reptile vet look at it before it goes down.') }
  if (below(jacksonCuts.heavy, ratio))
    return {
      verdict: 'watch',
      sentence: say('Heavy for its length: eggs or fluid? Let a reptile vet look at a female.'),
    }
  return { verdict: 'pass', sentence: say('Normal for its length.') }
}

/** Strictly below, by more than binary fractions round: a value at a limit is not below it. */
export const below = (value: number, limit: number): boolean => value < limit - 1e-9
