import type { CalibratedQuantity } from '../../schemas/calibration.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { Instant } from '../../schemas/units.ts'
import { rawOf } from '../../shared/sensing/calibration.ts'
import { budgetOf } from '../../shared/sensing/uncertainty.ts'
import { usePage } from '../page/use-page.ts'
import { budgetWords } from '../words/check-words.ts'
import { quantityName } from '../words/names.ts'
import { quantitiesOf } from './ways.ts'
import { held } from '../words/held.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** Where nothing has been read yet: near where boxes are kept. */
const usual: Readonly<Record<CalibratedQuantity, number>> = { temperature: 5, humidity: 80 }

/** How far a reading may be from what is true where the animal lies, and why (GUM). */
export function BudgetSays({ sensor }: { sensor: Sensor }) {
  return (
    <section class="part" aria-labelledby="sure">
      <h2 id="sure">{say('How sure a reading is')}</h2>
      {quantitiesOf(sensor.type).map((quantity) => (
        <OneBudget key={quantity} sensor={sensor} quantity={quantity} />
      ))}
      <p class="soft">
        {say(
          'The parts are added as squares, and doubled: so 95 of 100 readings are right within it. How far its spot may be from the animal’s is set under Set-up.',
        )}
      </p>
    </section>
  )
}

function OneBudget({ sensor, quantity }: { sensor: Sensor; quantity: CalibratedQuantity }) {
  const { tell, now, tonight } = usePage()
  const values = tonight.value?.places.flatMap((place) => place.values) ?? []
  const value = values.find((one) => one.sensor === sensor.id && one.quantity === quantity)
  // A day is fine enough for ageing, and the words stand still
  const at = now.value as Instant
  const isCorrected = value !== undefined && value.quality === 'good'
  const raw = isCorrected
    ? rawOf(sensor.calibrations, quantity, at, value.value)
    : (value?.value ?? usual[quantity])
  const budget = budgetOf(sensor, quantity, { at, raw })
  return (
    <>
      <p>
        {sayWith('{part}: right within {strong}, 95 times of 100.', {
          part: quantityName[quantity],
          strong: <strong>±{tell.apart(budget.expanded, quantity)}</strong>,
        })}
      </p>
      <ul class="budget">
        {budget.lines.map((line) => (
          <li key={line.what}>
            {budgetWords(line, quantity, tell)} <span class="soft">{held(line.says)}</span>
          </li>
        ))}
      </ul>
    </>
  )
}
