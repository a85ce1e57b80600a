import type { Bands } from '../../schemas/band.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { durationWords, limitWords } from '../../shared/telling/words.ts'
import { PrioritySign } from '../moon/moon.tsx'

const names = ['highCritical', 'high', 'low', 'lowCritical'] as const

/** Every limit in force with its delay, its priority and whose number it is. */
export function LimitReasons({ bands, isOpen = false }: { bands: Bands; isOpen?: boolean }) {
  const rows = Object.entries(bands).flatMap(([quantity, band]) =>
    names.flatMap((name) => {
      const limit = band[name]
      return limit === null ? [] : [{ quantity: quantity as Quantity, name, limit }]
    }),
  )
  if (rows.length === 0) return null
  return (
    <details class="reasons" open={isOpen}>
      <summary>Why these limits</summary>
      <ul>
        {rows.map(({ quantity, name, limit }) => (
          <li key={`${quantity} ${name}`}>
            <span class="reasons-limit">
              {limitWords(quantity, name, limit)} for {durationWords(limit.for)}
            </span>
            <PrioritySign priority={limit.priority} />
            <span class="reasons-because">{limit.because}</span>
          </li>
        ))}
      </ul>
    </details>
  )
}
