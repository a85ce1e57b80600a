import { durationWords } from '../../shared/telling/words.ts'
import { pathOfNight } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { quantityName } from '../words/names.ts'
import type { DrawnSeason } from './strip-frame.ts'
import { say } from '../../shared/words/say.ts'

/** The same nights as a table, newest first. */
export function NightsTable({ season: { winter, nights } }: { season: DrawnSeason }) {
  const { tell } = usePage()
  const { quantity } = winter
  const figure = (value: number | null): string => (value === null ? '–' : tell.figure(value, quantity))
  const lasted = (ms: number): string => (ms === 0 ? '–' : durationWords(ms))
  const count = (n: number): string => (n === 0 ? '–' : tell.count(n))
  return (
    <div
      class="nights-table"
      role="region"
      tabIndex={0}
      aria-label={say('Nights of {season}, table', { season: winter.season })}
    >
      <table>
        <caption>
          {say('{quantity}, nights of {season}', {
            quantity: quantityName[quantity],
            season: winter.season,
          })}
        </caption>
        <thead>
          <tr>
            <th scope="col">{say('Night')}</th>
            <th scope="col">{say('Lowest')}</th>
            <th scope="col">{say('Mean')}</th>
            <th scope="col">{say('Highest')}</th>
            <th scope="col">{say('Below')}</th>
            <th scope="col">{say('Above')}</th>
            <th scope="col">{say('Unheard hours')}</th>
            <th scope="col">{say('Alarms')}</th>
            <th scope="col">{say('Door')}</th>
            <th scope="col">{say('Readings')}</th>
          </tr>
        </thead>
        <tbody>
          {nights.toReversed().map(({ date, night, blank, opened }) => (
            <tr key={date}>
              <th scope="row">
                <Link to={pathOfNight(winter.place, date)}>{tell.date(date)}</Link>
              </th>
              <td>{figure(night.min)}</td>
              <td>{figure(night.mean)}</td>
              <td>{figure(night.max)}</td>
              <td>{lasted(night.below)}</td>
              <td>{lasted(night.above)}</td>
              <td>{count(blank)}</td>
              <td>{count(night.alarms)}</td>
              <td>{count(opened)}</td>
              <td>{tell.count(night.readings)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}
