import type { Animal } from '../../schemas/animal.ts'
import { instant } from '../../schemas/amounts.ts'
import { phaseWord } from '../../shared/telling/words.ts'
import { daysBetween, localDate } from '../../shared/time/wall.ts'
import { pathOfReport } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { phaseBegins, phaseOf } from '../words/animal-words.ts'

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
      <h2 id="phase">Its winter</h2>
      <p class="phase-now">
        <strong>{capital(phaseWord[phase])}</strong>
        {from !== null && ` since ${tell.date(dayOf(from))}, day ${held + 1}`}.
      </p>
      {next === null ? (
        <p class="soft">
          {animal.mode === 'staysAwake' ? 'It stays awake this winter.' : 'Nothing more is planned.'}
        </p>
      ) : (
        <p>
          {isDraft ? 'In preparation: it ' : 'It '}
          {phaseBegins[next.phase]} from {tell.date(dayOf(next.from))},{' '}
          {inDays(daysBetween(today, dayOf(next.from)))}.
        </p>
      )}
      {doubt !== null && <p class="problem">{doubt}</p>}
      <p class="animal-links">
        <Link to="/plan">Plan</Link>
        <Link to={pathOfReport(animal.id)}>Its winter on paper</Link>
      </p>
    </section>
  )
}

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1)

const inDays = (n: number): string => (n === 0 ? 'today' : n === 1 ? 'tomorrow' : `in ${n} days`)
