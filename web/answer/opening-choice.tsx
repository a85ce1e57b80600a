import type { AnswerNow } from '../../schemas/telling-now.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { tendingMinutes } from '../words/tending-minutes.ts'
import type { Answering } from './answering.ts'
import { say } from '../../shared/words/say.ts'

/** "I am opening it", by the link of a message (A3). */
export function OpeningChoice({ answering, seen }: { answering: Answering; seen: AnswerNow }) {
  const act = useAct()
  const left = seen.tendedUntil === null ? 0 : seen.tendedUntil - answering.now.value
  const tend = (minutes: number): void => void act.run(() => answering.tend(minutes))
  return (
    <section class="answer-part" aria-labelledby="opening">
      <h2 id="opening">{say('I am opening it')}</h2>
      {left > 0 ? (
        <div class="answer-row">
          <p role="status">
            {say('Quiet about warmth for {duration} more.', { duration: durationWords(left) })}
          </p>
          <button type="button" disabled={act.isBusy.value} onClick={() => tend(0)}>
            {say('It is shut again')}
          </button>
        </div>
      ) : (
        <>
          <div class="choice answer-choice" role="group" aria-label={say('I am opening it for')}>
            {tendingMinutes.map((minutes) => (
              <button key={minutes} type="button" disabled={act.isBusy.value} onClick={() => tend(minutes)}>
                {say('{minutes} min', { minutes })}
              </button>
            ))}
          </div>
          <p class="hint">{say('Meanwhile nothing rings about warmth there. Cold still does.')}</p>
        </>
      )}
      <ProblemNote problem={act.problem.value} />
    </section>
  )
}
