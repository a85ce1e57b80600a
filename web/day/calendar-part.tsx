import { useSignal } from '@preact/signals'
import type { CalendarNow, MadeCalendar } from '../../schemas/calendar.ts'
import { Part, focusPart } from '../access/part.tsx'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Question } from '../parts/question.tsx'
import { ShownOnce } from '../parts/shown-once.tsx'
import { useAct } from '../parts/use-act.ts'
import { useAnswer } from '../parts/use-answer.ts'
import { say } from '../../shared/words/say.ts'

/** The reader's own calendar feed: made, copied once, ended. */
export function CalendarPart() {
  const { ask, tell, now, household } = usePage()
  const known = useAnswer<CalendarNow>('/api/calendar')
  const act = useAct()
  const made = useSignal<MadeCalendar | null>(null)
  const asked = useSignal<'make' | 'end' | null>(null)
  const said = useSignal('')
  if (known.value.value === null) return null
  const { madeAt } = known.value.value
  const zone = household.value?.timeZone ?? 'UTC'

  const make = (): void =>
    void act.run(
      () => ask<MadeCalendar>('POST', '/api/calendar', {}),
      (calendar) => {
        asked.value = null
        said.value = ''
        made.value = calendar
        known.again()
      },
    )
  const end = (): void =>
    void act.run(
      () => ask<null>('DELETE', '/api/calendar'),
      () => {
        asked.value = null
        made.value = null
        said.value = say('The feed is ended. Remove it from your calendar, too.')
        focusPart('calendar')
        known.again()
      },
    )

  return (
    <Part id="calendar" title={say('In your calendar')} said={said}>
      <p>
        {say(
          'A calendar on your phone or computer can follow this list and every plan. It rings nothing: what is urgent is told by Brumal.',
        )}
      </p>
      <p class="soft">
        {madeAt === null
          ? say('You have no feed yet.')
          : say('Your feed was made {dayAt}. Its address is kept nowhere; if you lost it, make a new one.', {
              dayAt: tell.dayAt(madeAt, now.value, zone),
            })}
      </p>
      <p class="hint">
        {say(
          'Whoever has the address reads your animals’ names, their phases and what is due, without a sign-in. A calendar on the internet fetches it through its own computers. Nothing can be changed with it.',
        )}
      </p>
      {made.value !== null && (
        <ShownOnce
          title={say('The address of your feed')}
          words={say('Add it in your calendar as a subscription by address. It is shown only here and now.')}
          lines={[{ title: say('Address'), text: made.value.address }]}
          onDone={() => {
            made.value = null
            focusPart('calendar')
          }}
        />
      )}
      <div class="form-acts">
        <button
          type="button"
          disabled={act.isBusy.value}
          onClick={() => (madeAt === null ? make() : (asked.value = 'make'))}
        >
          {madeAt === null ? say('Make a feed') : say('Make a new address')}
        </button>
        {madeAt !== null && (
          <button type="button" class="quiet" onClick={() => (asked.value = 'end')}>
            {say('End the feed')}
          </button>
        )}
      </div>
      {asked.value !== null && (
        <Question
          question={
            asked.value === 'make'
              ? say('The address that you have now is dead from then on.')
              : say('Whoever follows the feed gets nothing from then on.')
          }
          yes={asked.value === 'make' ? say('Make a new address') : say('End it')}
          isBusy={act.isBusy.value}
          onNo={() => (asked.value = null)}
          onYes={asked.value === 'make' ? make : end}
        />
      )}
      <ProblemNote problem={act.problem.value ?? known.problem.value} />
    </Part>
  )
}
