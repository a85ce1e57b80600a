import type { BandLimit, Bands } from '../../schemas/band.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { durationWords, limitWords } from '../../shared/telling/words.ts'
import { doubtFor } from '../../shared/judging/guard-figures.ts'
import { PrioritySign } from '../moon/moon.tsx'
import { usePage } from '../page/use-page.ts'
import type { Tell } from '../words/tell.ts'
import { held } from '../words/held.ts'
import { say } from '../../shared/words/say.ts'

const names = ['highCritical', 'high', 'low', 'lowCritical'] as const

/** Every limit in force with its delay, its priority and whose number it is. */
export function LimitReasons({ bands, isOpen = false }: { bands: Bands; isOpen?: boolean }) {
  const { tell } = usePage()
  const rows = Object.entries(bands).flatMap(([quantity, band]) =>
    names.flatMap((name) => {
      const limit = band[name]
      return limit === null ? [] : [{ quantity: quantity as Quantity, name, limit }]
    }),
  )
  if (rows.length === 0) return null
  return (
    <details class="reasons" open={isOpen}>
      <summary>{say('Why these limits')}</summary>
      <ul>
        {rows.map(({ quantity, name, limit }) => (
          <li key={`${quantity} ${name}`}>
            <span class="reasons-limit">
              {say('{limit} for {duration}{guard}', {
                limit: limitWords(quantity, name, limit),
                duration: durationWords(limit.for),
                guard: guardWords(quantity, limit, tell),
              })}
            </span>
            <PrioritySign priority={limit.priority} />
            <span class="reasons-because">{held(limit.because)}</span>
          </li>
        ))}
      </ul>
    </details>
  )
}

/** `, rung at 1.5 °C for 10 minutes: the sensor may be 0.50 K off` (L9). */
function guardWords(quantity: Quantity, { value, guarded, expanded }: BandLimit, tell: Tell): string {
  if (guarded === undefined || guarded === value) return ''
  const off = expanded ?? Math.abs(guarded - value)
  const apart =
    quantity === 'temperature' || quantity === 'humidity'
      ? tell.apart(off, quantity)
      : tell.value(off, quantity)
  return say(', rung at {value} for {duration}: the sensor may be {apart} off', {
    value: tell.value(guarded, quantity),
    duration: durationWords(doubtFor),
    apart,
  })
}
