import type { RuleFinding } from '../../../schemas/condition.ts'
import type { ConditionRule, Evidence } from '../../../schemas/species.ts'
import { publications } from '../publications.ts'
import type { Subject } from '../subject.ts'
import { unitSlip } from './doubt.ts'
import { type Input, massInput, scoreInput, sideInput, waterRemark } from './inputs.ts'
import { jacksonFinding, type Said } from './jackson-rule.ts'
import { visualFinding } from './visual-rules.ts'
import { boxFinding, ellipsoidFinding, haileyFinding } from './volume-rules.ts'
import { say } from '../../words/say.ts'

/**
 * Every rule of the species, and of shelled animals also the Jackson ratio where it is not valid, so that the
 * refusal is seen.
 */
export function findingsOf(subject: Subject): readonly RuleFinding[] {
  const { taxon, condition } = subject.profile
  const isShelled = taxon === 'tortoise' || taxon === 'turtle'
  return rules
    .filter((rule) => condition.includes(rule) || (isShelled && rule === 'jackson'))
    .map((rule) => findingOf(subject, rule))
}

const rules: readonly ConditionRule[] = [
  'jackson',
  'hailey',
  'boxVolume',
  'ellipsoid',
  'visualFive',
  'visualNine',
]

function findingOf(subject: Subject, rule: ConditionRule): RuleFinding {
  const said: Said = subject.profile.condition.includes(rule)
    ? saidBy(subject, rule)
    : { isValid: false, sentence: notFor(subject.profile.common) }
  const about = { rule, ...printed[rule] }
  if (!said.isValid) {
    const source = subject.profile.condition.includes(rule) ? about.source : publications.jacksonLimits
    return { ...about, source, isValid: false, value: null, verdict: 'unknown', sentence: said.sentence }
  }
  return { ...about, ...said }
}

const notFor = (common: string): string =>
  say('Not valid for {common}: it is made for Testudo graeca and Testudo hermanni only.', { common })

function saidBy(subject: Subject, rule: ConditionRule): Said {
  switch (rule) {
    case 'visualFive':
    case 'visualNine':
      return withInputs([scoreInput(subject, rule)], ([score = Number.NaN]) => visualFinding(rule, score))
    case 'jackson':
      return withBody(subject, [], jacksonFinding)
    case 'hailey':
      return withBody(subject, [], (grams, length) => haileyFinding(grams, length, null))
    case 'boxVolume':
      return withBody(subject, ['width', 'height'], boxFinding)
    case 'ellipsoid':
      return withBody(subject, ['width', 'height'], ellipsoidFinding)
    default:
      return rule satisfies never
  }
}

/** Mass and length, held against each other first: a length in millimetres gives no ratio at all. */
function withBody(
  subject: Subject,
  sides: readonly ('width' | 'height')[],
  find: (grams: number, length: number, width: number, height: number) => Said,
): Said {
  const mass = massInput(subject)
  const inputs = [mass, sideInput(subject, 'length'), ...sides.map((side) => sideInput(subject, side))]
  const said = withInputs(
    inputs,
    ([grams = Number.NaN, length = Number.NaN, width = Number.NaN, height = Number.NaN]) => {
      const slip = unitSlip(subject.profile.taxon, grams, length)
      return slip === null ? find(grams, length, width, height) : { isValid: false, sentence: slip }
    },
  )
  const remark = mass.ok ? waterRemark(subject, mass.at) : null
  return said.isValid && remark !== null ? { ...said, sentence: `${said.sentence} ${remark}` } : said
}

function withInputs(inputs: readonly Input[], find: (values: readonly number[]) => Said): Said {
  const missing = inputs.filter((input) => !input.ok)
  if (missing.length > 0)
    return { isValid: false, sentence: missing.map(({ sentence }) => sentence).join(' ') }
  return find(inputs.flatMap((input) => (input.ok ? [input.value] : [])))
}

const printed: Readonly<
  Record<ConditionRule, { readonly unit: string; readonly source: string; readonly evidence: Evidence }>
> = {
  jackson: { unit: 'g/cm³', source: publications.jackson, evidence: 'derived' },
  hailey: { unit: 'log10', source: publications.hailey, evidence: 'read' },
  boxVolume: { unit: 'g/cm³', source: publications.box, evidence: 'memory' },
  ellipsoid: { unit: 'g/cm³', source: publications.ellipsoid, evidence: 'memory' },
  visualFive: { unit: say('of 5'), source: publications.visualFive, evidence: 'derived' },
  visualNine: { unit: say('of 9'), source: publications.visualNine, evidence: 'derived' },
}
