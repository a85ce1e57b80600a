import type { PlaceCost } from '../../schemas/cost.ts'
import { usePage } from '../page/use-page.ts'
import { beyondRows } from '../words/cost-words.ts'
import { held } from '../words/held.ts'
import { limitName } from '../words/names.ts'
import { say } from '../../shared/words/say.ts'

/** How long and by how much each limit was passed; the time beyond a critical one is in that of its milder one, too. */
export function CostBeyond({ cost, isLimited }: { cost: PlaceCost; isLimited: boolean }) {
  const { tell } = usePage()
  const rows = beyondRows(cost, tell)
  if (rows.length === 0)
    return isLimited ? <p>{say('As far as it is known it stayed inside its limits all the time.')}</p> : null
  return (
    <table class="openings">
      <thead>
        <tr>
          <th scope="col">{say('Past its limit')}</th>
          <th scope="col">{say('For')}</th>
          <th scope="col">{say('Degree-hours')}</th>
        </tr>
      </thead>
      <tbody>
        {rows.map(({ limit, time, degreeHours }) => (
          <tr key={limit}>
            <th scope="row">{limitName[limit]}</th>
            <td>{held(time)}</td>
            <td>{degreeHours}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
