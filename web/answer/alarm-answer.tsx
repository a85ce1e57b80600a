import { useEffect } from 'preact/hooks'
import type { Alarm } from '../../schemas/alarm.ts'
import type { AnswerNow } from '../../schemas/telling-now.ts'
import { isConditionOut } from '../../shared/judging/alarm.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { Moon } from '../moon/moon.tsx'
import { sinceOf } from '../words/alarm-words.ts'
import { bound, held } from '../words/held.ts'
import type { Answering } from './answering.ts'
import { OpeningChoice } from './opening-choice.tsx'
import { PressButton } from './press-button.tsx'
import { ShelveByLink } from './shelve-by-link.tsx'
import { say } from '../../shared/words/say.ts'

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
  const heading = isOver ? say('It is over') : seen.headline
  const lasts =
    isOut && since !== null
      ? say('For {duration} now.', { duration: durationWords(answering.now.value - since) })
      : ''
  useEffect(() => {
    document.title = say('{heading} · Brumal', { heading })
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
      {isOver && (
        <p class="answer-was soft">
          {say('The message said: {headline}.', { headline: bound(seen.headline) })}
        </p>
      )}
      <p class="answer-about">
        {[
          lasts,
          seen.animals.length === 0 ? '' : say('There: {animals}.', { animals: seen.animals.join(', ') }),
        ]
          .filter((part) => part !== '')
          .map(held)
          .join(' ')}
      </p>
      {seen.firstThing !== null && (
        <section class="answer-first" aria-labelledby="first">
          <h2 id="first">{say('First')}</h2>
          <p>{held(seen.firstThing)}</p>
        </section>
      )}
      <PressButton
        answering={answering}
        words={say('I have seen it and will see to it')}
        canPress={seen.canAcknowledge}
        stands={isOver ? say('Nothing is left to answer.') : held(seen.sentence)}
        thanks={say('Noted.')}
      />
      {answering.done.value !== null && isOut && (
        <p class="hint">
          {say('Nobody else is rung about it now. If it ends and comes back, it rings again.')}
        </p>
      )}
      {seen.canTend && <OpeningChoice answering={answering} seen={seen} />}
      {seen.canShelve && <ShelveByLink answering={answering} longest={seen.longestShelving} />}
      <p class="answer-more">
        <a href="/" class={seen.canAcknowledge || seen.canTend ? undefined : 'button'}>
          {say('See the whole house')}
        </a>
        <span class="hint">{say('This link answers this one alarm, as {seen}.', { seen: seen.name })}</span>
      </p>
    </>
  )
}
