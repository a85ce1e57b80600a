import type { NightSummary } from '../../schemas/api.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { usePage } from '../page/use-page.ts'
import { NightBar } from './night-bar.tsx'
import { say } from '../../shared/words/say.ts'

/** One night: its bar against the band, the time outside, how much was heard. */
export function NightRow({
  night,
  quantity,
  range,
  isChosen,
  onChoose,
}: {
  night: NightSummary
  quantity: Quantity
  range: readonly [low: number, high: number] | null
  isChosen: boolean
  onChoose: (date: string) => void
}) {
  const { tell } = usePage()
  const { min, mean, max } = night
  const isHeard = min !== null && max !== null && mean !== null
  const words = isHeard
    ? say('{figure} to {value}, mean {figure2}', {
        figure: tell.figure(min, quantity),
        value: tell.value(max, quantity),
        figure2: tell.figure(mean, quantity),
      })
    : say('no readings')
  return (
    <tr class={isChosen ? 'is-chosen' : undefined}>
      <th scope="row">
        <button
          type="button"
          class="night-pick"
          disabled={!isHeard}
          aria-pressed={isChosen}
          onClick={() => onChoose(night.date)}
        >
          {tell.date(night.date)}
        </button>
      </th>
      <td class="night-cell" onClick={() => isHeard && onChoose(night.date)}>
        {isHeard && range !== null ? (
          <NightBar night={night} range={range} />
        ) : (
          <span class="soft">{say('no readings')}</span>
        )}
        {isHeard && <span class="unseen">{words}</span>}
      </td>
      <td class="night-outside">{outsideWords(night)}</td>
      <td class="night-count">{isHeard ? tell.count(night.readings) : ''}</td>
    </tr>
  )
}

function outsideWords(night: NightSummary): string {
  if (night.readings === 0) return ''
  const parts = [
    night.below > 0 ? say('{duration} below', { duration: durationWords(night.below) }) : '',
    night.above > 0 ? say('{duration} above', { duration: durationWords(night.above) }) : '',
  ].filter((part) => part !== '')
  return parts.length === 0 ? '–' : parts.join(', ')
}
