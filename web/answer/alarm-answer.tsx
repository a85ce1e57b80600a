import { useEffect } from 'preact/hooks'
import type { Alarm } from '../../schemas/alarm.ts'
import type { AnswerNow } from '../../schemas/telling-now.ts'
import { isConditionOut } from '../../shared/judging/alarm.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { Moon } from '../moon/moon.tsx'
import { sinceOf } from '../words/alarm-words.ts'
import { held } from '../words/held.ts'
import type { Answering } from './answering.ts'
import { OpeningChoice } from './opening-choice.tsx'
import { PressButton } from './press-button.tsx'
import { ShelveByLink } from './shelve-by-link.tsx'

/** One raising of one alarm: what, where, since when, who lives there, what to do first, and the answer. */
export function AlarmAnswer({
  answering,
  seen,
  alarm,
}: {
  answering: Answering
  seen: AnswerNow
  alarm: Alarm
}) {
  const since = sinceOf(alarm.state)
  const isOut = isConditionOut(alarm.state)
  const isOver = alarm.state.name === 'normal'
  const heading = isOver ? 'It is over' : seen.headline
  const lasts = isOut && since !== null ? `For ${durationWords(answering.now.value - since)} now.` : ''
  useEffect(() => {
    document.title = `${heading} · Brumal`
  }, [heading])
  return (
    <>
      <h1 class={seen.canAcknowledge && isOut ? `sign-${alarm.priority}` : undefined}>
        {seen.canAcknowledge && isOut && (
          <>
            <Moon priority={alarm.priority} />{' '}
          </>
        )}
        {held(heading)}
      </h1>
      {isOver && <p class="answer-was soft">The message said: {held(seen.headline)}.</p>}
      <p class="answer-about">
        {[lasts, seen.animals.length === 0 ? '' : `There: ${seen.animals.join(', ')}.`]
          .filter((part) => part !== '')
          .map(held)
          .join(' ')}
      </p>
      {seen.firstThing !== null && (
        <section class="answer-first" aria-labelledby="first">
          <h2 id="first">First</h2>
          <p>{held(seen.firstThing)}</p>
        </section>
      )}
      <PressButton
        answering={answering}
        words="I have seen it and will see to it"
        canPress={seen.canAcknowledge}
        stands={isOver ? 'Nothing is left to answer.' : seen.sentence}
        thanks="Noted."
      />
      {answering.done.value !== null && isOut && (
        <p class="hint">Nobody else is rung about it now. If it ends and comes back, it rings again.</p>
      )}
      {seen.canTend && <OpeningChoice answering={answering} seen={seen} />}
      {seen.canShelve && <ShelveByLink answering={answering} longest={seen.longestShelving} />}
      <p class="answer-more">
        <a href="/" class={seen.canAcknowledge || seen.canTend ? undefined : 'button'}>
          See the whole house
        </a>
        <span class="hint">This link answers this one alarm, as {seen.name}.</span>
      </p>
    </>
  )
}
