import type { MassNow } from '../../schemas/condition.ts'
import type { LastMass } from '../diary/weigh-order.ts'
import { usePage } from '../page/use-page.ts'
import { useWords } from '../page/use-words.ts'
import { massRuleName, massStandingName } from '../words/condition-words.ts'
import { held } from '../words/held.ts'
import { MassChart } from './mass-chart.tsx'
import { SourcesList } from './sources-list.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** Its mass: in hold against what it may lose (S2), else as a curve alone. */
export function MassSays({ mass, masses }: { mass: MassNow | null; masses: readonly LastMass[] | null }) {
  const { tell } = usePage()
  const { when } = useWords()
  const entry = mass?.entry ?? null
  const shown = (masses ?? []).filter(({ at }) => entry === null || at >= entry.at)
  return (
    <section class="says" aria-labelledby="mass">
      <h2 id="mass">{say('Mass')}</h2>
      {mass === null ? (
        masses !== null && <LastOnly masses={masses} />
      ) : (
        <>
          <p>
            <strong class={mass.standing === 'wake' ? 'step-late' : ''}>
              {capital(massStandingName[mass.standing])}.
            </strong>{' '}
            {held(mass.sentence)}
          </p>
          {mass.askUrinated && (
            <p>
              {sayWith(
                '{strong} Say so at the last weigh-in, under Diary: wet is most likely urine, and an animal that has passed it is woken.',
                { strong: <strong>{say('Was its box wet?')}</strong> },
              )}
            </p>
          )}
          {mass.air !== null && <p>{held(mass.air)}</p>}
        </>
      )}
      {shown.length > 1 && <MassChart masses={shown} mass={mass} />}
      {shown.length > 0 && (
        <details>
          <summary>{say('Weigh-ins as a table')}</summary>
          <table class="openings mass-table">
            <thead>
              <tr>
                <th scope="col">{say('When')}</th>
                <th scope="col">{say('Mass')}</th>
                <th scope="col">{entry === null ? say('Change') : say('Since entry')}</th>
              </tr>
            </thead>
            <tbody>
              {[...shown].reverse().map(({ at, grams }, i, all) => {
                const against = entry?.grams ?? all[i + 1]?.grams ?? null
                return (
                  <tr key={at}>
                    <th scope="row">{when(at, null)}</th>
                    <td>{tell.mass(grams)}</td>
                    <td>{against === null ? '' : tell.percent(((grams - against) / against) * 100)}</td>
                  </tr>
                )
              })}
            </tbody>
          </table>
        </details>
      )}
      {mass !== null && mass.rules.length > 0 && (
        <ul class="judged">
          {mass.rules.map((rule) => (
            <li key={rule.rule} class="step">
              <p>
                <strong>{massRuleName[rule.rule]}</strong>
                {': '}
                <span class={rule.verdict === 'wake' ? 'step-late' : 'soft'}>
                  {massStandingName[rule.verdict]}
                </span>
              </p>
              <p>{held(rule.sentence)}</p>
            </li>
          ))}
        </ul>
      )}
      {mass !== null && <SourcesList of={mass.rules} />}
    </section>
  )
}

function LastOnly({ masses }: { masses: readonly LastMass[] }) {
  const { tell } = usePage()
  const { when } = useWords()
  const last = masses.at(-1)
  return last === undefined ? (
    <p class="soft">{say('Never weighed.')}</p>
  ) : (
    <p>{say('{mass}, weighed {time}.', { mass: tell.mass(last.grams), time: when(last.at, null) })}</p>
  )
}

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1)
