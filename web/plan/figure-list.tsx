import type { PlanProposal } from '../../schemas/season.ts'
import { usePage } from '../page/use-page.ts'
import { held } from '../words/held.ts'
import { evidenceName } from '../words/names.ts'
import { say } from '../../shared/words/say.ts'

/** The published figures that a plan rests on, each with its source. */
export function FigureList({ figures }: { figures: PlanProposal['figures'] }) {
  const { tell } = usePage()
  if (figures.length === 0) return null
  return (
    <details class="figure-list">
      <summary>{say('The figures it rests on')}</summary>
      <ul>
        {figures.map(({ name, value, unit, source, evidence }) => (
          <li key={name}>
            <strong>
              {name}: {held(`${tell.count(value)} ${unit}`)}
            </strong>{' '}
            <span class="soft">
              {source} ({evidenceName[evidence]})
            </span>
          </li>
        ))}
      </ul>
    </details>
  )
}
