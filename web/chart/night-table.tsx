import type { NightCurve } from '../../schemas/api.ts'
import { usePage } from '../page/use-page.ts'
import { quantityName } from '../words/names.ts'
import { tableRows } from './chart-data.ts'
import { faultWords, type NamesHere } from './fault-words.ts'
import { animalName } from './mark-words.ts'
import type { Marks } from './marks.ts'
import { isAnimalsSide } from './sensor-key.tsx'
import { say } from '../../shared/words/say.ts'

/** One row per quarter of an hour: what a person reads at a glance. */
const stepMs = 15 * 60_000

/** The night's curve as a table. */
export function NightTable({
  curve,
  zone,
  name,
  marks,
  names,
}: {
  curve: NightCurve
  zone: string
  name: string
  marks: Marks
  names: NamesHere
}) {
  const { tell } = usePage()
  const { doors, faults } = marks
  const rows = tableRows(curve, stepMs, marks.animals)
  const figure = (value: number): string => tell.figure(value, curve.quantity)
  const openedDuring = (from: number): string => {
    const opened = doors.filter(({ at }) => at >= from && at < from + stepMs)
    return opened.length === 0
      ? ''
      : say('opened {opened}', { opened: opened.map(({ at }) => tell.clock(at, zone)).join(', ') })
  }
  const stoodDuring = (at: number): string =>
    faults
      .filter(({ from, to }) => (from ?? 0) < at + stepMs && (to ?? Infinity) > at)
      .map((fault) => faultWords(fault, names))
      .join(', ')
  return (
    <div class="night-table" role="region" tabIndex={0} aria-label={say('{name}, table', { name })}>
      <table>
        <caption class="unseen">
          {say('{part} in {name}, night of {date}', {
            part: quantityName[curve.quantity],
            name,
            date: tell.date(curve.night.date),
          })}
        </caption>
        <thead>
          <tr>
            <th scope="col">{say('from')}</th>
            {curve.series.map((one) => (
              <th scope="col" key={one.sensor}>
                {one.sensorName}
                {isAnimalsSide(curve, one.spot) && say(', the animals’ side')}
              </th>
            ))}
            {marks.animals.map((one, n) => (
              <th scope="col" key={`animals ${one.sensor}`}>
                {animalName(curve, marks, n)}
              </th>
            ))}
            {doors.length > 0 && <th scope="col">{say('door')}</th>}
            {faults.length > 0 && <th scope="col">{say('alarms')}</th>}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.at}>
              <th scope="row">{tell.clock(row.at, zone)}</th>
              {row.cells.map((cell, i) => (
                <td key={i}>
                  {cell === null
                    ? i < curve.series.length
                      ? say('nothing')
                      : say('not known')
                    : figure(cell.low) === figure(cell.high)
                      ? figure(cell.mean)
                      : say('{figure} ({figure2} to {figure3})', {
                          figure: figure(cell.mean),
                          figure2: figure(cell.low),
                          figure3: figure(cell.high),
                        })}
                </td>
              ))}
              {doors.length > 0 && <td>{openedDuring(row.at)}</td>}
              {faults.length > 0 && <td>{stoodDuring(row.at)}</td>}
            </tr>
          ))}
        </tbody>
      </table>
      {rows.length === 0 && <p>{say('No readings.')}</p>}
    </div>
  )
}
