import type { RuleFinding } from '../../../schemas/condition.ts'
import {
  boxVolumeIndex,
  ellipsoidVolume,
  haileyExpected,
  haileyIndex,
  haileyShare,
  type HaileyConstants,
} from './indices.ts'
import { below, type Said } from './jackson-rule.ts'
import { say } from '../../words/say.ts'

/** The index is made for animals from here on, cm (Hailey, author's note). */
const haileyFromCm = 10
/**
 * Derived: −0.10 is as low as Jackson's "dangerously low"; a diseased group had −0.04 (Willemsen et al. 2002);
 * wild ones reach +0.10.
 */
const haileyCuts = { block: -0.1, vet: -0.05, heavy: 0.1 } as const

/** `constants`: of species and sex; null: not known, and nothing is guessed. */
export function haileyFinding(grams: number, lengthCm: number, constants: HaileyConstants | null): Said {
  if (lengthCm < haileyFromCm)
    return {
      isValid: false,
      sentence: say('Made for animals of {haileyFromCm} cm and more; this one has {lengthCm} cm.', {
        haileyFromCm,
        lengthCm,
      }),
    }
  if (constants === null)
    return { isValid: false, sentence: say('Not known: it needs constants for species and sex.') }
  const index = haileyIndex(grams, haileyExpected(constants, lengthCm))
  const share = say('{round} % of the mass expected of its length', {
    round: Math.round(100 * haileyShare(index)),
  })
  return { isValid: true, value: index, ...haileyVerdict(index, share) }
}

function haileyVerdict(index: number, share: string): Pick<RuleFinding, 'verdict' | 'sentence'> {
  if (below(index, haileyCuts.block))
    return { verdict: 'block', sentence: say('{share}: dangerously light. Ask a reptile vet.', { share }) }
  if (below(index, haileyCuts.vet))
    return { verdict: 'vet', sentence: say('{share}: light. Let a reptile vet look at it first.', { share }) }
  if (below(haileyCuts.heavy, index))
    return { verdict: 'watch', sentence: say('{share}: heavy. Eggs or fluid?', { share }) }
  return { verdict: 'pass', sentence: say('{share}: as usual.', { share }) }
}

/** g/cm³, of desert tortoises and from memory: below it is looked at again, never more than that. */
const boxPrimeFrom = 0.6
const boxPoorBelow = 0.5

export function boxFinding(grams: number, length: number, width: number, height: number): Said {
  const value = boxVolumeIndex(grams, length, width, height)
  const caution = say('These marks are from memory, and fat was not found to follow them.')
  if (below(value, boxPoorBelow))
    return {
      isValid: true,
      value,
      verdict: 'vet',
      sentence: say('Poor for its volume: let a reptile vet look at it first. {caution}', { caution }),
    }
  if (below(value, boxPrimeFrom))
    return {
      isValid: true,
      value,
      verdict: 'watch',
      sentence: say('Light for its volume. {caution}', { caution }),
    }
  return {
    isValid: true,
    value,
    verdict: 'pass',
    sentence: say('Good for its volume. {caution}', { caution }),
  }
}

/** No marks are published: the number is to be held against the animal's own. */
export const ellipsoidFinding = (grams: number, length: number, width: number, height: number): Said => ({
  isValid: true,
  value: grams / ellipsoidVolume(length, width, height),
  verdict: 'unknown',
  sentence: say('No marks are published for it: compare it with its own earlier values.'),
})
