import type { Animal } from '../../schemas/animal.ts'
import type { ConditionNow, RuleFinding } from '../../schemas/condition.ts'
import { pathOfNoting } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { verdictName } from '../words/condition-words.ts'
import { ruleName } from '../../shared/animals/rule-name.ts'
import { held } from '../words/held.ts'
import { sourceWords } from './sources-list.tsx'
import { say } from '../../shared/words/say.ts'

/** Its body condition, by every rule that holds for it: never one number alone. */
export function ConditionSays({ condition, animal }: { condition: ConditionNow; animal: Animal }) {
  const { tell } = usePage()
  const valid = condition.findings.filter(({ isValid }) => isValid)
  const others = condition.findings.filter(({ isValid }) => !isValid)
  const { trend } = condition
  return (
    <section class="says" aria-labelledby="condition">
      <h2 id="condition">{say('Condition')}</h2>
      <p>
        <strong class={isBad(condition.verdict) ? 'step-late' : ''}>
          {capital(verdictName[condition.verdict])}.
        </strong>{' '}
        {held(condition.sentence)}
      </p>
      {trend !== null && (
        <p>
          {say('{plain} g a week over {weighIns} weigh-ins, most likely between {plain2} and {plain3} g.', {
            plain: tell.plain(trend.gramsPerWeek, 1),
            weighIns: trend.weighIns,
            plain2: tell.plain(trend.low, 1),
            plain3: tell.plain(trend.high, 1),
          })}
        </p>
      )}
      {valid.length > 0 && (
        <ul class="judged">
          {valid.map((finding) => (
            <Finding key={finding.rule} finding={finding} />
          ))}
        </ul>
      )}
      {others.length > 0 && (
        <details>
          <summary>
            {others.length === 1
              ? say('One rule that does not hold here')
              : say('{others} rules that do not hold here', { others: others.length })}
          </summary>
          <ul class="judged">
            {others.map((finding) => (
              <Finding key={finding.rule} finding={finding} />
            ))}
          </ul>
        </details>
      )}
      <p class="animal-links">
        <Link to={pathOfNoting(animal.id, 'measured')}>{say('Measure')}</Link>
        <Link to={pathOfNoting(animal.id, 'scored')}>{say('Body score')}</Link>
      </p>
    </section>
  )
}

function Finding({ finding }: { finding: RuleFinding }) {
  const { tell } = usePage()
  const { value, unit } = finding
  return (
    <li class="step">
      <p>
        <strong>{ruleName[finding.rule]}</strong>
        {value !== null && ` ${tell.plain(value, digitsOf(value, unit))} ${unit}`}
        {finding.isValid && (
          <>
            {': '}
            <span class={isBad(finding.verdict) ? 'step-late' : ''}>{verdictName[finding.verdict]}</span>
          </>
        )}
      </p>
      <p>{held(finding.sentence)}</p>
      <p class="hint">{sourceWords(finding.source, finding.evidence)}</p>
    </li>
  )
}

/** A score has none; densities and logarithms tell apart by the third digit. */
const digitsOf = (value: number, unit: string): number =>
  unit.startsWith('of') ? (Number.isInteger(value) ? 0 : 1) : 3

const isBad = (verdict: RuleFinding['verdict']): boolean => verdict === 'vet' || verdict === 'block'

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1)
