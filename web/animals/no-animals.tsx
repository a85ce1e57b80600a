import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { say } from '../../shared/words/say.ts'

/** A house in which nobody lives yet, and what to do about it. */
export function NoAnimals() {
  const { person } = usePage()
  const isKeeper = person.value?.role === 'keeper'
  return (
    <>
      <p class="lead">
        {say('No animal is here yet.{part}', {
          part: isKeeper ? say(' Add the first one under Set-up.') : say(' A keeper adds them under Set-up.'),
        })}
      </p>
      {isKeeper && (
        <Link to="/set-up" class="button strong">
          {say('Add an animal')}
        </Link>
      )}
    </>
  )
}
