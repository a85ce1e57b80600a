import type { Household } from '../../schemas/household.ts'
import type { SeasonNow } from '../../schemas/season.ts'
import { pathOfAnimal } from '../page/route.ts'
import { Link } from '../parts/link.tsx'

/** Whom to wake, the most pressing first, each with its first reason. */
export function WakeFirst({ season, household }: { season: SeasonNow; household: Household }) {
  const rows = season.wakeFirst.flatMap((id) => season.rows.find(({ animal }) => animal === id) ?? [])
  if (rows.length === 0) return null
  return (
    <section class="says wake-first" aria-labelledby="wake-first">
      <h2 id="wake-first">Wake first</h2>
      <ol>
        {rows.map((row) => {
          const name = household.animals.find(({ id }) => id === row.animal)?.name ?? row.animal
          const reason = row.wake.reasons.find(({ isNow }) => isNow) ?? row.wake.reasons[0]
          return (
            <li key={row.animal}>
              <Link to={pathOfAnimal(row.animal)}>{name}</Link> {row.wake.standing === 'now' ? 'now' : 'soon'}
              {reason !== undefined && <>: {reason.sentence}</>}
            </li>
          )
        })}
      </ol>
    </section>
  )
}
