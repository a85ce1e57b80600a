import type { Sensor } from '../../schemas/sensor.ts'
import { minutes } from '../../schemas/amounts.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { usePage } from '../page/use-page.ts'

/** So many expected readings missed are worth a word. */
const missed = 3

/** What to look at where nothing comes. */
export function QuietLine({ sensor, since }: { sensor: Sensor; since: number }) {
  const { now } = usePage()
  const quiet = now.value - since
  if (quiet < Math.max(missed * sensor.expectedEvery, minutes(1))) return null
  return (
    <p class="problem" role="alert">
      Nothing from it for {durationWords(Math.floor(quiet / 60_000) * 60_000)}; a reading is expected every{' '}
      {durationWords(sensor.expectedEvery)}. Look at its supply and cable; water and a closed lid weaken
      radio.
    </p>
  )
}
