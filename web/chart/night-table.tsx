import type { NightCurve } from '../../schemas/api.ts'
import { usePage } from '../page/use-page.ts'
import { quantityName } from '../words/names.ts'
import type { Opening } from '../words/thermal-words.ts'
import { tableRows } from './chart-data.ts'

/** One row per quarter of an hour: what a person reads at a glance. */
const stepMs = 15 * 60_000

/** The night's curve as a table. */
export function NightTable({
  curve,
  zone,
  name,
  doors,
}: {
  curve: NightCurve
  zone: string
  name: string
  doors: readonly Opening[]
}) {
  const { tell } = usePage()
  const rows = tableRows(curve, stepMs)
  const figure = (value: number): string => tell.figure(value, curve.quantity)
  const openedDuring = (from: number): string => {
    const opened = doors.filter(({ at }) => at >= from && at < from + stepMs)
    return opened.length === 0 ? '' : `opened ${opened.map(({ at }) => tell.clock(at, zone)).join(', ')}`
  }
  return (
    <div class="night-table" role="region" tabIndex={0} aria-label={`${name}, table`}>
      <table>
        <caption class="unseen">
          {quantityName[curve.quantity]} in {name}, night of {tell.date(curve.night.date)}
        </caption>
        <thead>
          <tr>
            <th scope="col">from</th>
            {curve.series.map((one) => (
              <th scope="col" key={one.sensor}>
                {one.sensorName}
              </th>
            ))}
            {doors.length > 0 && <th scope="col">door</th>}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.at}>
              <th scope="row">{tell.clock(row.at, zone)}</th>
              {row.cells.map((cell, i) => (
                <td key={curve.series[i]?.sensor}>
                  {cell === null
                    ? 'nothing'
                    : cell.low === cell.high
                      ? figure(cell.mean)
                      : `${figure(cell.mean)} (${figure(cell.low)} to ${figure(cell.high)})`}
                </td>
              ))}
              {doors.length > 0 && <td>{openedDuring(row.at)}</td>}
            </tr>
          ))}
        </tbody>
      </table>
      {rows.length === 0 && <p>No readings.</p>}
    </div>
  )
}
