import type { Animal } from '../../schemas/animal.ts'
import type { WakeNow } from '../../schemas/season.ts'
import { usePage } from '../page/use-page.ts'
import { Moon } from '../moon/moon.tsx'
import { Link } from '../parts/link.tsx'
import { held } from '../words/held.ts'
import { SourcesList } from './sources-list.tsx'
import { say } from '../../shared/words/say.ts'

/** That the hold should end, and why: the first thing that is read of an animal. */
export function WakeSays({ wake, animal }: { wake: WakeNow; animal: Animal }) {
  const { person } = usePage()
  if (wake.standing === 'no') return null
  const isNow = wake.standing === 'now'
  return (
    <section class={`wake ${isNow ? 'wake-now' : ''}`} aria-labelledby="wake">
      <h2 id="wake">
        {isNow && (
          <span class="sign-high">
            <Moon priority="high" />
          </span>
        )}
        {isNow
          ? say('Wake {animal} now', { animal: animal.name })
          : say('{animal} is to be woken soon', { animal: animal.name })}
      </h2>
      <ul>
        {wake.reasons.map((reason) => (
          <li key={reason.reason}>{held(reason.sentence)}</li>
        ))}
      </ul>
      {person.value?.role === 'keeper' && (
        <Link to="/plan" class="button">
          {say('Begin warming in the plan')}
        </Link>
      )}
      <SourcesList of={wake.reasons} />
    </section>
  )
}
