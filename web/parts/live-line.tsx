import { usePage } from '../page/use-page.ts'
import { agoWords } from '../words/ago.ts'
import { zoneOf } from '../words/alarm-words.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from './say-with.ts'

/** Whether this page is alive: one quiet line, loud in the same place when nothing has been heard (N1). */
export function LiveLine() {
  const { live, heardAt, tonight, household, now, tell } = usePage()
  const values = tonight.value?.places.flatMap((place) => place.values) ?? []
  const newest = Math.max(...values.map((value) => value.at))
  const heard = heardAt.value ?? now.value
  const since = tell.when(heard, now.value, zoneOf(null, tonight.value, household.value))
  return (
    <aside class={live.isLost.value ? 'live live-lost' : 'live'} aria-label={say('Connection of this page')}>
      {live.isLost.value ? (
        <>
          <p role="alert">
            {say('This page has heard nothing from Brumal since {since}. What it shows is old.', { since })}
          </p>
          {/* beside the alert, which would be read out anew with each minute */}
          <p class="live-age">{agoWords(now.value - heard)}</p>
        </>
      ) : (
        <p>
          {sayWith('{liveDot}Live{part}', {
            liveDot: <span class="live-dot" aria-hidden="true" />,
            part:
              Number.isFinite(newest) &&
              say(' · newest reading {ago}', { ago: agoWords(now.value - newest) }),
          })}
        </p>
      )}
    </aside>
  )
}
