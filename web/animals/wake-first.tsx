import type { Animal } from '../../schemas/animal.ts'
import type { SeasonNow } from '../../schemas/season.ts'
import { Moon } from '../moon/moon.tsx'
import { pathOfAnimal } from '../page/route.ts'
import { Link } from '../parts/link.tsx'
import { held } from '../words/held.ts'
import { SourcesList } from './sources-list.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** Who must be woken, the most pressing first (S2, S3). */
export function WakeFirst({ season, animals }: { season: SeasonNow; animals: readonly Animal[] }) {
  const rows = season.wakeFirst.flatMap((id) => {
    const animal = animals.find((one) => one.id === id)
    const wake = season.rows.find((one) => one.animal === id)?.wake
    return animal === undefined || wake === undefined ? [] : [{ animal, wake }]
  })
  if (rows.length === 0) return null
  return (
    <section class="wake wake-now" aria-labelledby="wake-first">
      <h2 id="wake-first">
        {sayWith('{signHigh}To be woken first', {
          signHigh: (
            <span class="sign-high">
              <Moon priority="high" />
            </span>
          ),
        })}
      </h2>
      <ol>
        {rows.map(({ animal, wake }) => (
          <li key={animal.id}>
            <Link to={pathOfAnimal(animal.id)} class="step-way">
              {animal.name}
            </Link>{' '}
            {wake.standing === 'soon' && <span class="soft">{say('soon. ')}</span>}
            {held(wake.reasons.map(({ sentence }) => sentence).join(' '))}
          </li>
        ))}
      </ol>
      <SourcesList of={rows.flatMap(({ wake }) => wake.reasons)} />
    </section>
  )
}
