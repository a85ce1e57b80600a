import type { DiaryLine } from '../../schemas/diary.ts'
import { usePage } from '../page/use-page.ts'
import { noteWords } from '../words/diary-words.ts'
import { held } from '../words/held.ts'
import { say } from '../../shared/words/say.ts'

/** What was noted today, newest first, and by whom. */
export function DoneList({ lines }: { lines: readonly DiaryLine[] }) {
  const { tell, household } = usePage()
  const home = household.value
  if (home === null || lines.length === 0) return null
  const nameOf = ({ animal, place }: DiaryLine): string =>
    home.animals.find(({ id }) => id === animal)?.name ??
    home.places.find(({ id }) => id === place)?.name ??
    ''
  return (
    <section class="part" aria-labelledby="day-done">
      <h2 id="day-done">{say('Noted today')}</h2>
      <ul class="day-done">
        {lines.map((line) => (
          <li key={line.id}>
            <time dateTime={new Date(line.at).toISOString()}>{tell.clock(line.at, home.timeZone)}</time>{' '}
            <strong>{nameOf(line)}</strong>: {held(noteWords(line.note, tell))}
            <span class="soft">
              {say(' by {part}', { part: line.by === 'brumal' ? say('Brumal') : line.by })}
            </span>
          </li>
        ))}
      </ul>
    </section>
  )
}
