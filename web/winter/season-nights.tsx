import type { Winter } from '../../schemas/api.ts'
import { usePage } from '../page/use-page.ts'
import { quantityName } from '../words/names.ts'
import { NightRow } from './night-row.tsx'
import { byMonth, seasonRange } from './season.ts'
import { say } from '../../shared/words/say.ts'

/** One row for each night, by month, newest first. */
export function SeasonNights({
  winter,
  chosen,
  onChoose,
}: {
  winter: Winter
  chosen: string | null
  onChoose: (date: string) => void
}) {
  const { tell, now } = usePage()
  const range = seasonRange(winter.nights)
  const months = byMonth(winter.nights, now.peek())
  if (months.length === 0) return <p class="soft">{say('Nothing was watched in this season.')}</p>
  return (
    <table class="nights">
      <caption class="unseen">
        {say('{part}, nights of {season}', { part: quantityName[winter.quantity], season: winter.season })}
      </caption>
      <thead>
        <tr>
          <th scope="col">{say('Night')}</th>
          <th scope="col">
            {range === null ? (
              say('Lowest to highest')
            ) : (
              <span class="nights-scale">
                <span>{tell.figure(range[0], winter.quantity)}</span>
                <span class="unseen">{say('lowest to highest')}</span>
                <span>{tell.value(range[1], winter.quantity)}</span>
              </span>
            )}
          </th>
          <th scope="col">{say('Outside')}</th>
          <th scope="col">{say('Readings')}</th>
        </tr>
      </thead>
      {months.map(({ month, nights }) => (
        <tbody key={month}>
          <tr class="nights-month">
            <th scope="rowgroup" colSpan={4}>
              {tell.month(`${month}-01`)}
            </th>
          </tr>
          {nights.map((night) => (
            <NightRow
              key={night.date}
              night={night}
              quantity={winter.quantity}
              range={range}
              isChosen={night.date === chosen}
              onChoose={onChoose}
            />
          ))}
        </tbody>
      ))}
    </table>
  )
}
