import type { Animal } from '../../schemas/animal.ts'
import { pathTo } from '../page/ask.ts'

/** Its face, else the first letter of its name. Beside the name, so that nothing is read out twice. */
export function Portrait({ animal }: { animal: Animal }) {
  if (animal.portrait === undefined)
    return (
      <span class="portrait" aria-hidden="true">
        {[...animal.name][0]}
      </span>
    )
  return <img class="portrait" src={pathTo('pictures', animal.portrait)} alt="" loading="lazy" />
}
