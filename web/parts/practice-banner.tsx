import { usePage } from '../page/use-page.ts'
import { PracticeButton } from './practice-button.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from './say-with.ts'

/** Says on every screen that an invented household is shown, and offers the way out. */
export function PracticeBanner() {
  const page = usePage()
  if (page.tonight.value?.practice !== true) return null
  return (
    <aside class="practice" aria-label={say('Practice')}>
      <p>
        {sayWith('{strong} The animals, places and readings are invented.', {
          strong: <strong>{say('Practice: nothing here is real.')}</strong>,
        })}
      </p>
      {page.person.value?.role === 'keeper' && <PracticeButton on={false} words={say('Leave practice')} />}
    </aside>
  )
}
