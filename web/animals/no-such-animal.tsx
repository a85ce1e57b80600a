import { Link } from '../parts/link.tsx'
import { Screen } from '../parts/screen.tsx'
import { say } from '../../shared/words/say.ts'

/** An address of an animal that is not here. */
export function NoSuchAnimal() {
  return (
    <Screen title={say('No such animal')} heading={say('There is nothing here')}>
      <p class="lead">{say('The animal was removed, or the address is not quite right.')}</p>
      <Link to="/animals" class="button place-back">
        {say('See all animals')}
      </Link>
    </Screen>
  )
}
