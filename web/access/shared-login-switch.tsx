import { useSignal } from '@preact/signals'
import type { DevicesNow } from '../../schemas/access.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Question } from '../parts/question.tsx'
import { useAct } from '../parts/use-act.ts'
import { say } from '../../shared/words/say.ts'

/** Whether one login is open to all sensors, and what that means. */
export function SharedLoginSwitch({
  isOpen,
  onDone,
}: {
  isOpen: boolean
  onDone: (sentence: string) => void
}) {
  const { ask } = usePage()
  const act = useAct()
  const isAsked = useSignal(false)
  const turn = (on: boolean): void =>
    void act.run(
      () => ask<DevicesNow>('PUT', '/api/shared-login', { on }),
      () => {
        isAsked.value = false
        onDone(on ? say('The shared login is open.') : say('The shared login is closed.'))
      },
    )
  return (
    <div class="shared-login">
      <h3>{say('Shared login')}</h3>
      <p>
        {isOpen
          ? say(
              'Open: any sensor may sign in with the user and password under Connection, and publish, but not to the topics of devices that have their own.',
            )
          : say('Closed: only devices with a login of their own are let in.')}
      </p>
      <button
        type="button"
        role="switch"
        aria-checked={isOpen}
        disabled={act.isBusy.value}
        onClick={() => {
          if (isOpen) isAsked.value = !isAsked.value
          else turn(true)
        }}
      >
        {say('Shared login: {part}', { part: isOpen ? 'on' : 'off' })}
      </button>
      {isAsked.value && (
        <Question
          question={say(
            'Every sensor that still uses the shared login falls silent at once, and its silence is an alarm. Give each its own login first.',
          )}
          yes={say('Close the shared login')}
          isBusy={act.isBusy.value}
          onNo={() => (isAsked.value = false)}
          onYes={() => turn(false)}
        />
      )}
      <ProblemNote problem={act.problem.value} />
    </div>
  )
}
