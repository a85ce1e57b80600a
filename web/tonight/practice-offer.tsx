import { usePage } from '../page/use-page.ts'
import { PracticeButton } from '../parts/practice-button.tsx'
import { say } from '../../shared/words/say.ts'

/** An invented household to look round in, where the daemon offers one. */
export function PracticeOffer() {
  const page = usePage()
  if (!page.practice.value.offered) return null
  return (
    <section class="offer" aria-labelledby="look-around">
      <h2 id="look-around">{say('Look around first')}</h2>
      <p>
        {say(
          'An invented household with a simulated fridge, its animals and its troubles. Nothing of it is kept.',
        )}
      </p>
      <PracticeButton on words={say('Start the invented household')} />
    </section>
  )
}
