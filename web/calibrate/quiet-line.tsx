import type { Sensor } from '../../schemas/sensor.ts'
import { minutes } from '../../schemas/amounts.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { usePage } from '../page/use-page.ts'
import { say } from '../../shared/words/say.ts'

/** So many expected readings missed are worth a word. */
const missed = 3

/** What to look at where nothing comes. */
export function QuietLine({ sensor, since }: { sensor: Sensor; since: number }) {
  const { now } = usePage()
  const quiet = now.value - since
  if (quiet < Math.max(missed * sensor.expectedEvery, minutes(1))) return null
  return (
    <p class="problem" role="alert">
      {say(
        'Nothing from it for {duration}; a reading is expected every {duration2}. Look at its supply and cable; water and a closed lid weaken radio.',
        {
          duration: durationWords(Math.floor(quiet / 60_000) * 60_000),
          duration2: durationWords(sensor.expectedEvery),
        },
      )}
    </p>
  )
}
