import type { ComponentChildren } from 'preact'
import type { Alarm } from '../../schemas/alarm.ts'
import { alarmHeadline } from '../../shared/telling/alarm-words.ts'
import { PrioritySign } from '../moon/moon.tsx'
import { usePage } from '../page/use-page.ts'
import { useWords } from '../page/use-words.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { agoWords } from '../words/ago.ts'
import { held } from '../words/held.ts'
import { alarmDetail, isSetAside, isUnanswered, sinceOf, stateWords } from '../words/alarm-words.ts'
import { askAbout } from './ask-about.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** One alarm: its moon, what and where, the value now, since when, and the one tap that answers it. */
export function AlarmLine({ alarm, children }: { alarm: Alarm; children?: ComponentChildren }) {
  const page = usePage()
  const { names, when } = useWords()
  const act = useAct()
  const now = page.now.value
  const since = sinceOf(alarm.state)
  const detail = alarmDetail(alarm, page.tonight.value, now, page.tell)
  const loudness = isSetAside(alarm) ? 'set-aside' : isUnanswered(alarm) ? alarm.priority : 'answered'

  return (
    <article class={`alarm alarm-${loudness}`}>
      <PrioritySign priority={alarm.priority} />
      <div class="alarm-what">
        <p class="alarm-head">{held(alarmHeadline(alarm, names))}</p>
        {detail !== '' && <p class="alarm-detail">{held(detail)}</p>}
        <p class="alarm-state">
          {held(stateWords(alarm.state, (at) => when(at, alarm.place)))}
          {since !== null && (
            <span>
              {' '}
              {held(
                say('Since {time}, {ago}.', { time: when(since, alarm.place), ago: agoWords(now - since) }),
              )}
            </span>
          )}
        </p>
        <ProblemNote problem={act.problem.value} />
      </div>
      <div class="alarm-acts">
        {isUnanswered(alarm) && (
          <button
            type="button"
            class="strong"
            disabled={act.isBusy.value}
            onClick={() =>
              void act.run(
                () => askAbout(page.ask, alarm, 'acknowledge', { occurrence: alarm.occurrence }),
                () => void page.refresh(),
              )
            }
          >
            {sayWith('Acknowledge{unseen}', {
              unseen: <span class="unseen">: {alarmHeadline(alarm, names)}</span>,
            })}
          </button>
        )}
        {children}
      </div>
    </article>
  )
}
