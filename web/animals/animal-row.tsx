import type { Animal } from '../../schemas/animal.ts'
import type { Reminder } from '../../schemas/season.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { instant } from '../../schemas/amounts.ts'
import { localDate } from '../../shared/time/wall.ts'
import { phaseWord } from '../../shared/telling/words.ts'
import type { LastMass } from '../diary/weigh-order.ts'
import { pathOfAnimal } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { useWords } from '../page/use-words.ts'
import { Link } from '../parts/link.tsx'
import { daysAgoWords } from '../words/ago.ts'
import { phaseOf } from '../words/animal-words.ts'
import { Portrait } from './portrait.tsx'
import { say } from '../../shared/words/say.ts'

/** One animal of the list: who, where, how heavy, and what is due. */
export function AnimalRow({
  animal,
  profile,
  masses,
  due,
}: {
  animal: Animal
  profile: SpeciesProfile | null
  /** The newest two; null: not known yet. */
  masses: readonly LastMass[] | null
  due: readonly Reminder[]
}) {
  const { now, tell, household } = usePage()
  const { names } = useWords()
  const zone = household.value?.timeZone ?? 'UTC'
  const { phase } = phaseOf(animal, now.value)
  const [last, before] = masses ?? []
  const change = last === undefined || before === undefined ? null : last.grams - before.grams
  return (
    <li class="animal-row">
      <Portrait animal={animal} />
      <div>
        <h2>
          <Link to={pathOfAnimal(animal.id)} class="animal-way">
            {animal.name}
          </Link>
        </h2>
        <p class="soft">
          {[profile?.common ?? animal.species, phaseWord[phase]].join(', ')}
          {animal.place !== null && ` · ${names.place(animal.place)}`}
        </p>
        <p>
          {last === undefined ? (
            <span class="soft">{masses === null ? say('Mass not known yet') : say('Never weighed')}</span>
          ) : (
            <>
              {tell.mass(last.grams)} <span class="soft">{daysAgoWords(now.value - last.at)}</span>
            </>
          )}
          {change !== null && before !== undefined && (
            <span class="soft">
              {say(', {change} since {date}', {
                change: changeWords(change, tell.mass(Math.abs(change))),
                date: tell.date(localDate(instant(before.at), zone)),
              })}
            </span>
          )}
        </p>
        {due.length > 0 && (
          <p class="animal-due">
            {due.map((reminder, i) => (
              <span key={reminder.id} class={reminder.standing === 'late' ? 'step-late' : ''}>
                {i > 0 && ' · '}
                {reminder.title}
                {reminder.standing === 'late' && say(', late')}
              </span>
            ))}
          </p>
        )}
      </div>
    </li>
  )
}

const changeWords = (change: number, size: string): string =>
  change === 0 ? say('the same') : change < 0 ? say('{size} less', { size }) : say('{size} more', { size })
