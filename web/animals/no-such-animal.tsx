import { Link } from '../parts/link.tsx'
import { Screen } from '../parts/screen.tsx'

export function NoSuchAnimal() {
  return (
    <Screen title="No such animal" heading="There is nothing here">
      <p class="lead">The animal was removed, or the address is not quite right.</p>
      <Link to="/animals" class="button place-back">
        See all animals
      </Link>
    </Screen>
  )
}
