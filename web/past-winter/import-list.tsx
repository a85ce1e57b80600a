import { useSignal } from '@preact/signals'
import type { ImportLine, UndoneImport } from '../../schemas/import.ts'
import { say, sayCount } from '../../shared/words/say.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import type { Tell } from '../words/tell.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Question } from '../parts/question.tsx'
import { useAct } from '../parts/use-act.ts'
import { askSlow } from './send-table.ts'

/** Past winters that came in, with how far one is, and the way back of each. */
export function ImportList({
  lines,
  zone,
  onUndone,
}: {
  lines: readonly ImportLine[]
  zone: string
  onUndone: (sentence: string) => void
}) {
  if (lines.length === 0) return null
  return (
    <ul class="things import-list">
      {lines.map((line) => (
        <OneImport key={line.id} line={line} zone={zone} onUndone={onUndone} />
      ))}
    </ul>
  )
}

function OneImport({
  line,
  zone,
  onUndone,
}: {
  line: ImportLine
  zone: string
  onUndone: (sentence: string) => void
}) {
  const { tell } = usePage()
  const act = useAct()
  const isAsked = useSignal(false)
  const { file, state, progress } = line
  const readings = sayCount(line.added, 'one reading', '{n} readings', { n: tell.count(line.added) })
  const undo = (): void =>
    void act.run(
      () => askSlow<UndoneImport>('DELETE', pathTo('imports', line.id)),
      ({ removed, left }) => {
        const sentence = say('Took back {file}: {n} readings.', { file, n: tell.count(removed) })
        const stays = say('{n} have gone into hourly summaries with others since, and stay.', {
          n: tell.count(left),
        })
        onUndone(left === 0 ? sentence : `${sentence} ${stays}`)
      },
    )
  return (
    <li>
      <div class="thing">
        <p>
          <strong>{file}</strong> {whatCame(line, zone, tell).join(' ')}
        </p>
        {state === 'running' ? (
          <progress max={1} value={progress} aria-label={say('Taking in {file}', { file })} />
        ) : (
          <div class="thing-acts">
            <button
              type="button"
              class="quiet"
              disabled={act.isBusy.value}
              aria-label={say('Undo {file}', { file })}
              onClick={() => (isAsked.value = true)}
            >
              {act.isBusy.value || state === 'undoing' ? say('Taking it back …') : say('Undo')}
            </button>
          </div>
        )}
      </div>
      {isAsked.value && !act.isBusy.value && (
        <Question
          question={say('Take back what {file} brought: {readings}?', { file, readings })}
          yes={say('Take it back')}
          isBusy={act.isBusy.value}
          onYes={undo}
          onNo={() => (isAsked.value = false)}
        />
      )}
      <ProblemNote problem={act.problem.value} />
    </li>
  )
}

/** What an import brought, as sentences. */
function whatCame({ added, known, thinned, span, why }: ImportLine, zone: string, tell: Tell): string[] {
  const readings = sayCount(added, 'one reading', '{n} readings', { n: tell.count(added) })
  return [
    span === null
      ? say('{readings}.', { readings })
      : say('{readings}, {first} to {last}.', {
          readings,
          first: tell.day(span.first, zone),
          last: tell.day(span.last, zone),
        }),
    ...(known > 0
      ? [sayCount(known, 'One was there already.', '{n} were there already.', { n: tell.count(known) })]
      : []),
    ...(thinned > 0
      ? [say('{n} were left out: of their hours only the summary is kept.', { n: tell.count(thinned) })]
      : []),
    ...(why === null ? [] : [why]),
  ]
}
