import type { Animal } from '../../schemas/animal.ts'
import { instant } from '../../schemas/amounts.ts'
import { phaseWord } from '../../shared/telling/words.ts'
import { daysBetween, localDate } from '../../shared/time/wall.ts'
import { pathOfReport } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { phaseBegins, phaseOf } from '../words/animal-words.ts'
import { say } from '../../shared/words/say.ts'

/** Where its winter stands, and what comes next. */
export function PhaseSays({ animal, doubt }: { animal: Animal; doubt: string | null }) {
  const { now, tell, household } = usePage()
  const zone = household.value?.timeZone ?? 'UTC'
  const { phase, from, next, isDraft } = phaseOf(animal, now.value)
  const today = localDate(instant(now.value), zone)
  const dayOf = (at: number): string => localDate(instant(at), zone)
  const held = from === null ? 0 : daysBetween(dayOf(from), today)
  return (
    <section class="says" aria-labelledby="phase">
      <h2 id="phase">{say('Its winter')}</h2>
      <p class="phase-now">
        <strong>{capital(phaseWord[phase])}</strong>
        {from !== null && say(' since {date}, day {part}', { date: tell.date(dayOf(from)), part: held + 1 })}.
      </p>
      {next === null ? (
        <p class="soft">
          {animal.mode === 'staysAwake'
            ? say('It stays awake this winter.')
            : say('Nothing more is planned.')}
        </p>
      ) : (
        <p>
          {say('{part}{part2} from {date}, {inDays}.', {
            part: isDraft ? say('In preparation: it ') : say('It '),
            part2: phaseBegins[next.phase],
            date: tell.date(dayOf(next.from)),
            inDays: inDays(daysBetween(today, dayOf(next.from))),
          })}
        </p>
      )}
      {doubt !== null && <p class="problem">{doubt}</p>}
      <p class="animal-links">
        <Link to="/plan">{say('Plan')}</Link>
        <Link to={pathOfReport(animal.id)}>{say('Its winter on paper')}</Link>
      </p>
    </section>
  )
}

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1)

const inDays = (n: number): string =>
  n === 0 ? 'today' : n === 1 ? say('tomorrow') : say('in {n} days', { n })
