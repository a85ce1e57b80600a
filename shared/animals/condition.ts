import type { ConditionNow, ConditionVerdict, RuleFinding } from '../../schemas/condition.ts'
import { doubtOf } from './condition/doubt.ts'
import { findingsOf } from './condition/findings.ts'
import { trendOf } from './condition/trend.ts'
import type { Subject } from './subject.ts'
import { inReadersDigits } from '../words/reader.ts'
import { say } from '../words/say.ts'

export {
  boxVolumeIndex,
  ellipsoidVolume,
  expectedMassOfLength,
  haileyIndex,
  haileyShare,
  jacksonRatio,
} from './condition/indices.ts'

/** Body condition by every published rule that is valid for the species. */
export function conditionOf(subject: Subject): ConditionNow {
  const findings = findingsOf(subject)
  return { ...judged(findings), findings: [...findings], trend: trendOf(subject) }
}

/** Whether the newest weigh-in or measurement looks like a slip of the hand; in one sentence, or null. */
export const entryDoubt = (subject: Subject): string | null => doubtOf(subject)

/** Smaller is worse. */
const rank = { block: 0, vet: 1, watch: 2, pass: 3 } as const satisfies Record<
  Exclude<ConditionVerdict, 'unknown'>,
  number
>

interface Judged extends RuleFinding {
  readonly verdict: Exclude<ConditionVerdict, 'unknown'>
}

/**
 * The worst of what the valid rules say. A ratio of mass and length is one input, never the verdict
 * (Frankenberger et al. 2024: it follows the look of an animal only moderately): where another rule passes what
 * only a ratio blocks, a vet decides.
 */
function judged(findings: readonly RuleFinding[]): Pick<ConditionNow, 'verdict' | 'sentence'> {
  const said = findings.filter(
    (finding): finding is Judged => finding.isValid && finding.verdict !== 'unknown',
  )
  const worst = said.toSorted((a, b) => rank[a.verdict] - rank[b.verdict])[0]
  if (worst === undefined) return { verdict: 'unknown', sentence: nothingValid(findings) }
  const of = (verdict: ConditionVerdict): readonly Judged[] => said.filter((one) => one.verdict === verdict)
  const isByRatioAlone = of(worst.verdict).every(({ rule }) => !isVisual(rule))
  const passedBy = of('pass')
  if (worst.verdict === 'block' && isByRatioAlone && passedBy.some(({ rule }) => isVisual(rule)))
    return {
      verdict: 'vet',
      sentence: say('{named}; by eye it passes. The rules disagree: let a reptile vet decide.', {
        named: named(worst),
      }),
    }
  if (worst.verdict === 'pass' && said.length > 1)
    return { verdict: 'pass', sentence: say('Well by {listed}.', { listed: listed(said) }) }
  const others =
    passedBy.length > 0 && worst.verdict !== 'pass'
      ? say(' By {listed} it passes.', { listed: listed(passedBy) })
      : ''
  const alone = said.length === 1 ? ` ${isVisual(worst.rule) ? oneScore : oneRatio}` : ''
  return { verdict: worst.verdict, sentence: `${named(worst)}.${others}${alone}` }
}

const oneRatio = say('One rule only: look at it too, and note a score by eye and touch.')
const oneScore = say('One rule only: its mass and length say more, where a rule is valid for it.')

const isVisual = (rule: RuleFinding['rule']): boolean => rule === 'visualFive' || rule === 'visualNine'

function nothingValid(findings: readonly RuleFinding[]): string {
  const why = findings.find(({ rule }) => isVisual(rule) || rule === 'jackson')
  const hint =
    why === undefined
      ? say('No rule of body condition is known for this species.')
      : say('Its condition cannot be judged yet.')
  return say('{hint} Weigh it, measure it, score it by eye and touch, or ask a reptile vet.', { hint })
}

const ruleName: Readonly<Record<RuleFinding['rule'], string>> = {
  jackson: say('the Jackson ratio'),
  hailey: say("Hailey's index"),
  boxVolume: say('mass over box volume'),
  ellipsoid: say('mass over volume'),
  visualFive: say('the score of 1 to 5'),
  visualNine: say('the score of 1 to 9'),
}

const listed = (findings: readonly Judged[]): string =>
  findings.map(({ rule }) => ruleName[rule]).join(say(' and '))

const verdictWords: Readonly<Record<Judged['verdict'], string>> = {
  pass: say('well #verdict'),
  watch: say('look closer'),
  vet: say('let a reptile vet look at it first'),
  block: say('it must not go down'),
}

/** `By the Jackson ratio, 0.193 g/cm³: well`. */
const named = ({ rule, verdict, value, unit }: Judged): string =>
  say('By {part}{part2}: {part3}', {
    part: ruleName[rule],
    part2: value === null ? '' : `, ${shown(value)} ${unit}`,
    part3: verdictWords[verdict],
  })

const shown = (value: number): string => inReadersDigits(Math.abs(value) < 1 ? value.toFixed(3) : `${value}`)
