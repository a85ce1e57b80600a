import type { Said } from './jackson-rule.ts'
import { say } from '../../words/say.ts'

/**
 * Ideal is 3 of 5 (Frankenberger et al. 2024); half a point either way is still it, a whole point is not.
 * Derived.
 */
const five = { block: 1.5, vet: 2.5, heavy: 3.5 } as const
/** Good is 4 to 6 of 9 (Lamberski 2012); the two lowest block. Derived. */
const nine = { block: 3, vet: 4, heavy: 6 } as const

export const visualFinding = (scale: 'visualFive' | 'visualNine', score: number): Said => {
  if (scale === 'visualFive' && score > 5)
    return { isValid: false, sentence: say('{score} is not on the scale of 1 to 5.', { score }) }
  const { block, vet, heavy } = scale === 'visualFive' ? five : nine
  const said = { isValid: true, value: score } as const
  if (score < block)
    return { ...said, verdict: 'block', sentence: say('Wasted: it must not go down. Ask a reptile vet.') }
  if (score < vet)
    return {
      ...said,
      verdict: 'vet',
      sentence: say('Thin: let a reptile vet look at it before it goes down.'),
    }
  if (score > heavy)
    return {
      ...said,
      verdict: 'watch',
      sentence: say('Fat or swollen: fat, eggs or fluid? Ask a reptile vet.'),
    }
  return { ...said, verdict: 'pass', sentence: say('Good by eye and touch.') }
}
