import type { ComponentChildren } from 'preact'
import type { NightCurve } from '../../schemas/api.ts'
import { spotName } from '../words/names.ts'
import { animalDash, dashes } from './dashes.ts'
import { animalName } from './mark-words.ts'
import { type Marks, noMarks } from './marks.ts'
import { say } from '../../shared/words/say.ts'

/** Which line is what, and what the marks mean; one sensor alone needs no key, its name is beside the value. */
export function SensorKey({ curve, marks }: { curve: NightCurve; marks: Marks }) {
  const isMarked = marks !== noMarks
  const isAlone = curve.series.length + marks.animals.length < 2
  const isNamed = isMarked && curve.series.some(({ spot }) => isAnimalsSide(curve, spot))
  const lines = isAlone && !isNamed ? [] : curve.series
  const signs = [
    marks.guards.length > 0 && <Guard />,
    marks.runs.length > 0 && <Run />,
    marks.doors.length > 0 && <Door />,
  ].filter((sign) => sign !== false)
  if (lines.length === 0 && signs.length === 0) return null
  return (
    <ul class="key">
      {lines.map((one, i) => (
        <li key={one.sensor}>
          <KeyLine dash={dashes[i % dashes.length] ?? []} />
          {one.sensorName}
          {one.spot in spotName && `, ${spotName[one.spot as keyof typeof spotName]}`}
          {isAnimalsSide(curve, one.spot) && say(': the animals’ side')}
        </li>
      ))}
      {marks.animals.map((one, n) => (
        <li key={`animals ${one.sensor}`}>
          <KeyLine dash={animalDash} isCalm />
          {animalName(curve, marks, n)}
        </li>
      ))}
      {signs.map((sign, i) => (
        <li key={i}>{sign}</li>
      ))}
    </ul>
  )
}

/** What lies in what the animals lie in. */
export const isAnimalsSide = ({ quantity }: NightCurve, spot: string): boolean =>
  quantity === 'temperature' && (spot === 'substrate' || spot === 'water')

function KeyLine({ dash, isCalm = false }: { dash: readonly number[]; isCalm?: boolean }) {
  return (
    <svg
      class={isCalm ? 'key-line key-calm' : 'key-line'}
      viewBox="0 0 28 8"
      aria-hidden="true"
      focusable="false"
    >
      <path d="M0 4h28" stroke-dasharray={dash.join(' ')} />
    </svg>
  )
}

function Sign({
  name,
  box,
  d,
  children,
}: {
  name: string
  box: string
  d: string
  children: ComponentChildren
}) {
  return (
    <>
      <svg class={name} viewBox={box} aria-hidden="true" focusable="false">
        <path d={d} />
      </svg>
      {children}
    </>
  )
}

const Guard = () => (
  <Sign name="key-guard" box="0 0 18 9" d="M0 9L9 0M6 9L15 0M12 9L18 3M0 3L3 0">
    {say('within what the sensor may be off')}
  </Sign>
)
const Run = () => (
  <Sign name="key-run" box="0 0 18 3" d="M0 0h5v3H0zM12 0h5v3h-5z">
    {say('cooling')}
  </Sign>
)
const Door = () => (
  <Sign name="key-door" box="0 0 3 9" d="M0 0h3v9H0z">
    {say('door opened')}
  </Sign>
)
