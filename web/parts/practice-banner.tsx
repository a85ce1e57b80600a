import { usePage } from '../page/use-page.ts'
import { PracticeButton } from './practice-button.tsx'

/** Says on every screen that an invented household is shown, and offers the way out. */
export function PracticeBanner() {
  const page = usePage()
  if (page.tonight.value?.practice !== true) return null
  return (
    <aside class="practice" aria-label="Practice">
      <p>
        <strong>Practice: nothing here is real.</strong> The animals, places and readings are invented.
      </p>
      {page.person.value?.role === 'keeper' && <PracticeButton on={false} words="Leave practice" />}
    </aside>
  )
}
