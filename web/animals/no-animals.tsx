import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'

export function NoAnimals() {
  const { person } = usePage()
  const isKeeper = person.value?.role === 'keeper'
  return (
    <>
      <p class="lead">
        No animal is here yet.
        {isKeeper ? ' Add the first one under Set-up.' : ' A keeper adds them under Set-up.'}
      </p>
      {isKeeper && (
        <Link to="/set-up" class="button strong">
          Add an animal
        </Link>
      )}
    </>
  )
}
