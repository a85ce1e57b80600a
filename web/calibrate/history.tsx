import type { Calibration } from '../../schemas/calibration.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { correctionWords, methodName } from '../words/check-words.ts'
import { quantityName } from '../words/names.ts'
import { takeBack } from './acts.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** Every correction that ever counted, newest first. */
export function History({ sensor, zone }: { sensor: Sensor; zone: string }) {
  const page = usePage()
  const act = useAct()
  const { tell } = page
  const isKeeper = page.person.value?.role === 'keeper'
  const lines = sensor.calibrations.toSorted((one, other) => other.from - one.from)
  const isNewest = ({ quantity, from }: Calibration): boolean =>
    lines.every((one) => one.quantity !== quantity || one.from <= from)
  return (
    <section class="part" aria-labelledby="history">
      <h2 id="history">{say('Corrections so far')}</h2>
      {lines.length === 0 ? (
        <p class="soft">{say('None yet: its readings are shown as it says them.')}</p>
      ) : (
        <>
          <table class="openings corrections">
            <thead>
              <tr>
                <th scope="col">{say('Counts from')}</th>
                <th scope="col">{say('Found')}</th>
                <th scope="col">{say('Correction')}</th>
              </tr>
            </thead>
            <tbody>
              {lines.map((line) => (
                <tr key={`${line.quantity} ${line.from}`}>
                  <th scope="row">
                    <span class="whole">{tell.day(line.from, zone)}</span>, {tell.clock(line.from, zone)}
                  </th>
                  <td>
                    {sayWith('{part}, by {by}{part2}{part3}', {
                      part: methodName[line.method],
                      by: line.by,
                      part2: line.note !== undefined && <span class="soft"> {line.note}</span>,
                      part3: isKeeper && isNewest(line) && (
                        <button
                          type="button"
                          class="quiet"
                          disabled={act.isBusy.value}
                          onClick={() => void act.run(() => takeBack(page, sensor, line))}
                        >
                          {sayWith('Take back{unseen}', {
                            unseen: (
                              <span class="unseen">
                                {say(' the newest correction of its {quantity}', { quantity: line.quantity })}
                              </span>
                            ),
                          })}
                        </button>
                      ),
                    })}
                  </td>
                  <td>
                    <span class="unseen">{quantityName[line.quantity]}: </span>
                    {correctionWords(line, tell)}
                    <span class="soft"> ±{tell.apart(2 * line.uncertainty, line.quantity)}</span>
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
          <p class="soft">{say('What was read before a correction keeps the one of its time.')}</p>
        </>
      )}
      <ProblemNote problem={act.problem.value} />
    </section>
  )
}
