import type { TableLook } from '../../schemas/import.ts'
import { say, sayCount } from '../../shared/words/say.ts'
import { usePage } from '../page/use-page.ts'

const problemsShown = 12

/** How much would come in, of which days, and each line that would not. */
export function LookSays({ look }: { look: TableLook }) {
  const { tell } = usePage()
  const { counts, problems, span, zone } = look
  const readings = sayCount(counts.readings, 'one reading', '{n} readings', {
    n: tell.count(counts.readings),
  })
  return (
    <div role="status" class="look-says">
      <p>
        <strong>
          {span === null || counts.readings === 0
            ? say('Nothing of it would come in.')
            : say('{readings}, {first} to {last}.', {
                readings,
                first: tell.day(span.first, zone),
                last: tell.day(span.last, zone),
              })}
        </strong>{' '}
        {counts.gaps > 0 &&
          sayCount(counts.gaps, 'One cell is empty.', '{n} cells are empty.', { n: tell.count(counts.gaps) })}
      </p>
      {counts.bad > 0 && (
        <>
          <p>
            {sayCount(
              counts.bad,
              'One line is at fault and is left out:',
              '{n} lines are at fault and are left out:',
              {
                n: tell.count(counts.bad),
              },
            )}
          </p>
          <ul>
            {problems.slice(0, problemsShown).map(({ line, sentence }) => (
              <li key={line}>{say('Line {line}: {sentence}', { line, sentence })}</li>
            ))}
            {counts.bad > problemsShown && (
              <li>{say('… and {part} more.', { part: counts.bad - problemsShown })}</li>
            )}
          </ul>
        </>
      )}
    </div>
  )
}
