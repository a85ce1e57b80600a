import type { Animal } from '../../schemas/animal.ts'
import { pathOfNoting } from '../page/route.ts'
import { Link } from '../parts/link.tsx'
import { notedKinds, notingName } from '../words/diary-words.ts'
import { say } from '../../shared/words/say.ts'

/** Every kind of thing that can be noted, one tap away. */
export function NoteWays({ animal }: { animal: Animal }) {
  return (
    <section class="says" aria-labelledby="note">
      <h2 id="note">{say('Note something')}</h2>
      <ul class="note-ways">
        {notedKinds.map((kind) => (
          <li key={kind}>
            <Link to={pathOfNoting(animal.id, kind)} class="button">
              {notingName[kind]}
            </Link>
          </li>
        ))}
      </ul>
    </section>
  )
}
