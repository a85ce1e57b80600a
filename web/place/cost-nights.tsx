import type { PlaceCost } from '../../schemas/cost.ts'
import { usePage } from '../page/use-page.ts'
import { say } from '../../shared/words/say.ts'

/** The coldest reading of each night, newest first, folded away: a winter has many. */
export function CostNights({ nights, zone }: { nights: PlaceCost['nights']; zone: string }) {
  const { tell } = usePage()
  if (nights.length === 0) return null
  const coldest = nights.reduce((best, one) => (one.min < best.min ? one : best))
  return (
    <details class="cost-nights">
      <summary>
        {say('{part}; the coldest was {date} at {value}', {
          part:
            nights.length === 1
              ? say('One night')
              : say('{count} nights', { count: tell.count(nights.length) }),
          date: tell.date(coldest.date),
          value: tell.value(coldest.min, 'temperature'),
        })}
      </summary>
      <table class="openings">
        <thead>
          <tr>
            <th scope="col">{say('Night of')}</th>
            <th scope="col">{say('At')}</th>
            <th scope="col">{say('Coldest')}</th>
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
