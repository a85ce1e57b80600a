import { usePage } from '../page/use-page.ts'
import { agoWords } from '../words/ago.ts'

/** Whether this page is alive: one quiet line, loud in the same place when nothing has been heard (N1). */
export function LiveLine() {
  const { live, tonight, now, tell } = usePage()
  const zone = tonight.value?.places[0]?.timeZone ?? 'UTC'
  if (live.isLost.value) {
    const heardAt = live.heardAt.value ?? now.value
    return (
      <p class="live live-lost" role="alert">
        This page has heard nothing from Brumal since {tell.clock(heardAt, zone)}. What it shows is old.
      </p>
    )
  }
  const newest = Math.max(
    ...(tonight.value?.places.flatMap((place) => place.values.map((value) => value.at)) ?? []),
  )
  return (
    <p class="live">
      <span class="live-dot" aria-hidden="true" /> Live
      {Number.isFinite(newest) && <> · newest reading {agoWords(now.value - newest)}</>}
    </p>
  )
}
