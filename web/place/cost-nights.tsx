import type { PlaceCost } from '../../schemas/cost.ts'
import { usePage } from '../page/use-page.ts'

/** The coldest reading of each night, newest first, folded away: a winter has many. */
export function CostNights({ nights, zone }: { nights: PlaceCost['nights']; zone: string }) {
  const { tell } = usePage()
  if (nights.length === 0) return null
  const coldest = nights.reduce((best, one) => (one.min < best.min ? one : best))
  return (
    <details class="cost-nights">
      <summary>
        {nights.length === 1 ? 'One night' : `${tell.count(nights.length)} nights`}; the coldest was{' '}
        {tell.date(coldest.date)} at {tell.value(coldest.min, 'temperature')}
      </summary>
      <table class="openings">
        <thead>
          <tr>
            <th scope="col">Night of</th>
            <th scope="col">At</th>
            <th scope="col">Coldest</th>
          </tr>
        </thead>
        <tbody>
          {nights.toReversed().map(({ date, at, min }) => (
            <tr key={date}>
              <th scope="row">{tell.date(date)}</th>
              <td>{tell.clock(at, zone)}</td>
              <td>{tell.value(min, 'temperature')}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  )
}
