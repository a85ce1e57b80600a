import type { TrialReport, TrialSensor } from '../../schemas/trial-report.ts'
import { usePage } from '../page/use-page.ts'
import { held } from '../words/held.ts'
import { spotName } from '../words/names.ts'
import { knownShare } from '../words/trial-words.ts'
import { unitTyped } from '../words/typed-figure.ts'
import { say } from '../../shared/words/say.ts'

const heads = [
  say('On average'),
  say('Coldest'),
  say('Warmest'),
  say('90 % of time'),
  say('Scatter'),
  say('Off by, ±'),
] as const

/** The figures of each sensor, a row each; on a phone it is moved sideways. */
export function TrialSpots({ report, zone }: { report: TrialReport; zone: string }) {
  const { sensors, counted } = report
  const quiet = sensors.filter((one) => knownShare(one, counted) < 0.95 && counted > 0)
  if (sensors.length === 0) return <p>{say('No thermometer is in it.')}</p>
  return (
    <>
      {/* Scrolled sideways, so it takes the focus (WCAG 2.1.1) */}
      <div class="trial-wide" role="group" aria-label={say('Figures of each spot')} tabIndex={0}>
        <table class="openings trial-spots">
          <thead>
            <tr>
              <th scope="col">{say('Spot')}</th>
              {heads.map((head) => (
                <th key={head} scope="col">
                  {head}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {sensors.map((one) => (
              <SpotRow key={one.sensor} spot={one} zone={zone} />
            ))}
          </tbody>
        </table>
      </div>
      <p class="hint">
        {say(
          'In {unit}. Coldest and warmest leave out doors after which the air came back. A sensor’s ± holds for 95 of 100 true values.',
          { unit: unitTyped('temperature') },
        )}
      </p>
      {quiet.map((one) => (
        <p key={one.sensor} class="hint">
          {held(
            say('{one} was heard for {round} % of the time.', {
              one: one.name,
              round: Math.round(100 * knownShare(one, counted)),
            }),
          )}
        </p>
      ))}
    </>
  )
}

function SpotRow({ spot, zone }: { spot: TrialSensor; zone: string }) {
  const { tell } = usePage()
  const { name, placeName, figures, expanded, isChecked } = spot
  const temperature = (value: number): string => tell.figure(value, 'temperature')
  const at = ({ at, value }: { at: number; value: number }) => (
    <>
      {temperature(value)}
      <br />
      <span class="hint">{tell.when(at, Number.NEGATIVE_INFINITY, zone)}</span>
    </>
  )
  return (
    <tr>
      <th scope="row">
        {name}
        <br />
        <span class="hint">
          {placeName}, {spotName[spot.spot]}
        </span>
      </th>
      {figures === null ? (
        <td colSpan={5}>{say('nothing that counts yet')}</td>
      ) : (
        <>
          <td>{temperature(figures.mean)}</td>
          <td>{at(figures.min)}</td>
          <td>{at(figures.max)}</td>
          <td>
            {say('{temperature} to {temperature2}', {
              temperature: temperature(figures.p5),
              temperature2: temperature(figures.p95),
            })}
          </td>
          <td>{tell.apartFigure(figures.sd)}</td>
        </>
      )}
      <td>
        {tell.apartFigure(expanded)}
        {!isChecked && (
          <>
            <br />
            <span class="hint">{say('never checked')}</span>
          </>
        )}
      </td>
    </tr>
  )
}
