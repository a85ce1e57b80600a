import { useEffect, useRef } from 'preact/hooks'
import type { PlaceNow } from '../../schemas/api.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { NightChart } from '../chart/night-chart.tsx'
import { useCurve } from '../chart/use-curve.ts'
import { sentenceOf } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { say } from '../../shared/words/say.ts'
import type { StripNight } from './strip.ts'
import { nightWords } from './winter-words.ts'

/** One night from near: its curve in the band, what it came to, and the way to the nights beside it and back. */
export function NightPanel({
  place,
  quantity,
  night,
  nights,
  onOpen,
  onClose,
}: {
  place: PlaceNow
  quantity: Quantity
  night: StripNight
  /** Of its season, oldest first. */
  nights: readonly StripNight[]
  onOpen: (night: StripNight) => void
  onClose: () => void
}) {
  const { tell } = usePage()
  const head = useRef<HTMLHeadingElement>(null)
  const state = useCurve(place.id, quantity, night.date).value
  const at = nights.indexOf(night)
  const earlier = nights[at - 1]
  const later = nights[at + 1]
  const { mean, inside } = night.night
  useEffect(() => head.current?.focus(), [])

  const onKey = (event: KeyboardEvent): void => {
    if (event.key === 'Escape') onClose()
    // The chart and its table have arrow keys of their own
    const own = event.target instanceof Element && event.target.closest('[role=slider], [role=region]')
    if (own !== null && own !== false && own !== event.currentTarget) return
    const next = event.key === 'ArrowLeft' ? earlier : event.key === 'ArrowRight' ? later : undefined
    if (next !== undefined) {
      event.preventDefault()
      onOpen(next)
    }
  }

  return (
    <section class="night-panel" aria-labelledby="night-near" onKeyDown={onKey}>
      <header class="night-panel-head">
        <h2 id="night-near" ref={head} tabIndex={-1}>
          {say('Night of {date}', { date: tell.date(night.date) })}
        </h2>
        <div class="night-panel-acts">
          <div class="choice">
            <button
              type="button"
              disabled={earlier === undefined}
              onClick={() => earlier !== undefined && onOpen(earlier)}
            >
              {say('Earlier')}
            </button>
            <button
              type="button"
              disabled={later === undefined}
              onClick={() => later !== undefined && onOpen(later)}
            >
              {say('Later')}
            </button>
          </div>
          <button type="button" onClick={onClose}>
            {say('Back to the winter')}
          </button>
        </div>
      </header>
      {state.name === 'here' ? (
        <NightChart curve={state.curve} zone={place.timeZone} name={place.name} band="" />
      ) : (
        <div class="night night-waiting">
          <p class="soft">
            {state.name === 'failed' ? sentenceOf(state.problem) : say('Fetching the night …')}
          </p>
        </div>
      )}
      <p class="night-sum" role="status">
        {mean === null
          ? say('Nothing was heard in this night.')
          : night.night.low === null && night.night.high === null
            ? say('{words}; mean {mean}.', {
                words: nightWords(night, quantity, tell).join(', '),
                mean: tell.value(mean, quantity),
              })
            : inside === 0
              ? say('{words}; mean {mean}, never in the band.', {
                  words: nightWords(night, quantity, tell).join(', '),
                  mean: tell.value(mean, quantity),
                })
              : say('{words}; mean {mean}, {inside} in the band.', {
                  words: nightWords(night, quantity, tell).join(', '),
                  mean: tell.value(mean, quantity),
                  inside: durationWords(inside),
                })}
      </p>
    </section>
  )
}
