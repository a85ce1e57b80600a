import type { WhatIfNight, WhatIfResult, WhatIfSide } from '../../schemas/what-if.ts'
import { durationWords, priorityWord } from '../../shared/telling/words.ts'
import { say, sayCount } from '../../shared/words/say.ts'
import { soonerBy } from '../../shared/what-if/pairs.ts'
import { Moon } from '../moon/moon.tsx'
import { usePage } from '../page/use-page.ts'
import { useWords } from '../page/use-words.ts'
import { Link } from '../parts/link.tsx'
import { NightStrips } from './night-strips.tsx'
import { caveatWords, pairWords, resultWords, spellWords } from './what-if-words.ts'

/** What came of a look back, beside what happened. */
export function WhatIfSays({ result }: { result: WhatIfResult }) {
  const { tell, now } = usePage()
  const { names } = useWords()
  const when = (at: number): string => tell.when(at, now.peek(), result.timeZone)
  return (
    <section class="what-if-says" aria-labelledby="what-if-result">
      <h2 id="what-if-result">{say('What would have been')}</h2>
      <p class="what-if-sentence" role="status">
        {resultWords(result, names, when).join(' ')}
      </p>
      <NightStrips nights={result.nights} />
      <Figures result={result} />
      <Differing result={result} when={when} />
      <Nights nights={result.nights} />
      <section aria-labelledby="what-if-caveats">
        <h3 id="what-if-caveats">{say('What the log cannot say')}</h3>
        <ul class="what-if-caveats">
          {caveatWords(result.caveats).map((words) => (
            <li key={words}>{words}</li>
          ))}
        </ul>
      </section>
      <p>
        {say('Limits that the animals need stay in force: limits of your own can only be narrower.')}{' '}
        <Link to="/set-up">{say('Set limits of your own in Set-up')}</Link>
      </p>
    </section>
  )
}

function Figures({ result }: { result: WhatIfResult }) {
  const { tell } = usePage()
  const { happened, would } = result
  const rows: readonly (readonly [name: string, of: (side: WhatIfSide) => string])[] = [
    [say('Alarms'), ({ alarms }) => tell.count(alarms)],
    [priorityWord.high, ({ byPriority }) => tell.count(byPriority.high)],
    [priorityWord.medium, ({ byPriority }) => tell.count(byPriority.medium)],
    [priorityWord.low, ({ byPriority }) => tell.count(byPriority.low)],
    [say('Nights in which the phone rings'), ({ nightsRung }) => tell.count(nightsRung)],
    [say('An alarm stood for'), ({ standing }) => durationWords(standing)],
  ]
  return (
    <table class="openings what-if-figures">
      <caption class="unseen">{say('What happened and what would have happened, in figures')}</caption>
      <thead>
        <tr>
          <td />
          <th scope="col">{say('Happened')}</th>
          <th scope="col">{say('Would have')}</th>
        </tr>
      </thead>
      <tbody>
        {rows.map(([name, of]) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            <td>{of(happened)}</td>
            <td>{of(would)}</td>
          </tr>
        ))}
        <tr>
          <th scope="row">{say('A value was past a limit for')}</th>
          <td>–</td>
          <td>{durationWords(result.outside)}</td>
        </tr>
      </tbody>
    </table>
  )
}

function Differing({ result, when }: { result: WhatIfResult; when: (at: number) => string }) {
  const { names } = useWords()
  const differ = result.pairs.filter((pair) => soonerBy(pair) !== 0)
  if (differ.length === 0) return null
  return (
    <section aria-labelledby="what-if-differ">
      <h3 id="what-if-differ">{say('Alarms that differ')}</h3>
      <ol class="what-if-differ">
        {differ.map((pair) => {
          const spell = pair.happened ?? pair.would
          if (spell === null) return null
          return (
            <li key={`${spell.alarm} ${spell.from} ${pair.happened === null}`}>
              <time dateTime={new Date(spell.from).toISOString()}>{when(spell.from)}</time>
              <span class="journal-sign">
                <Moon priority={spell.priority} />
              </span>
              <span>
                {spellWords(spell, names)}. <b>{pairWords(pair)}</b>
              </span>
            </li>
          )
        })}
      </ol>
      {result.leftOut > 0 && (
        <p class="soft">{sayCount(result.leftOut, 'One more is not listed.', '{n} more are not listed.')}</p>
      )}
    </section>
  )
}

/** The strips in words. */
function Nights({ nights }: { nights: readonly WhatIfNight[] }) {
  const { tell } = usePage()
  const told = nights.filter(({ happened, would }) => happened.alarms + would.alarms > 0)
  return (
    <details class="what-if-nights">
      <summary>{say('Night by night')}</summary>
      {told.length === 0 ? (
        <p class="soft">{say('In no night would anything have rung, and nothing did.')}</p>
      ) : (
        <table class="openings">
          <caption class="unseen">{say('Nights with an alarm; the others are left out')}</caption>
          <thead>
            <tr>
              <th scope="col">{say('Night')}</th>
              <th scope="col">{say('Happened')}</th>
              <th scope="col">{say('Would have')}</th>
              <th scope="col">{say('Outside')}</th>
            </tr>
          </thead>
          <tbody>
            {told.map((night) => (
              <tr key={night.date}>
                <th scope="row">{tell.date(night.date)}</th>
                <td>{sideWords(night.happened)}</td>
                <td>{sideWords(night.would)}</td>
                <td>{night.outside === 0 ? '–' : durationWords(night.outside)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </details>
  )
}

function sideWords({ alarms, gravest }: WhatIfNight['happened']): string {
  if (gravest === null) return '–'
  return sayCount(alarms, '{n} alarm: {priority}', '{n} alarms, gravest: {priority}', {
    priority: priorityWord[gravest],
  })
}
