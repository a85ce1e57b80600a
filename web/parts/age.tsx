import { usePage } from '../page/use-page.ts'
import { agoWords } from '../words/ago.ts'

/** How long ago, ticking, with the exact time beside it for those who ask. */
export function Age({ at, zone }: { at: number; zone: string }) {
  const { now, tell } = usePage()
  return (
    <time class="age" dateTime={new Date(at).toISOString()} title={tell.when(at, now.value, zone)}>
      {agoWords(now.value - at)}
    </time>
  )
}
