import { say } from '../../shared/words/say.ts'
import { FirstSteps } from '../first/first-steps.tsx'
import { putAway } from '../first/kept-choice.ts'
import { usePage } from '../page/use-page.ts'
import { PracticeOffer } from './practice-offer.tsx'

/** Nothing is set up yet. A keeper is led through the first steps; nobody else can do anything about it. */
export function EmptyHouse() {
  const { person } = usePage()
  if (person.value?.role === 'keeper')
    return (
      <div class="empty">
        {putAway.value.value === null ? (
          <FirstSteps />
        ) : (
          <p class="lead">{say('Nothing is watched here yet. A place is made in Set-up.')}</p>
        )}
        <PracticeOffer />
      </div>
    )
  return (
    <p class="lead">
      {say('Nothing is watched here yet. Once a keeper has set up a place, it stands here.')}
    </p>
  )
}
