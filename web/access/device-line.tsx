import { useSignal } from '@preact/signals'
import type { DeviceNow, MadeDevice } from '../../schemas/access.ts'
import { pathTo } from '../page/ask.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Question } from '../parts/question.tsx'
import { useAct } from '../parts/use-act.ts'
import { agoWords } from '../words/ago.ts'
import { DeviceForm } from './device-form.tsx'
import { say } from '../../shared/words/say.ts'

/** A login of a device, what it may publish, and its end. */
export function DeviceLine({
  device,
  onMade,
  onDone,
}: {
  device: DeviceNow
  onMade: (made: MadeDevice) => void
  onDone: (sentence: string) => void
}) {
  const { ask, now } = usePage()
  const act = useAct()
  const open = useSignal<'password' | 'remove' | null>(null)
  const { name, kind, topics, seenAt } = device
  const about = [
    kind === 'sensor' ? say('sensor') : say('lamp or siren'),
    seenAt === null ? say('never seen') : say('seen {ago}', { ago: agoWords(now.value - seenAt) }),
    ...(topics.length === 0 ? [] : [say('also {topics}', { topics: topics.join(', ') })]),
  ]
  const toggle = (what: 'password' | 'remove', words: string, whom: string) => (
    <button
      type="button"
      class="quiet"
      aria-expanded={open.value === what}
      onClick={() => (open.value = open.value === what ? null : what)}
    >
      {words}
      <span class="unseen"> {whom}</span>
    </button>
  )
  const close = (): void => {
    open.value = null
  }
  return (
    <div class="thing">
      <p>
        <strong>{name}</strong> <span class="soft">{about.join(', ')}</span>
      </p>
      <div class="thing-acts">
        {toggle('password', say('New password'), say('for {name}', { name }))}
        {toggle('remove', 'Remove', name)}
      </div>
      {open.value === 'password' && (
        <DeviceForm
          device={device}
          taken={[]}
          onCancel={close}
          onMade={(made) => {
            close()
            onMade(made)
          }}
        />
      )}
      {open.value === 'remove' && (
        <Question
          question={say('{name} is refused at once and for good. What it has told stays.', { name })}
          yes={say('Remove {name}', { name })}
          isBusy={act.isBusy.value}
          onNo={close}
          onYes={() =>
            void act.run(
              () => ask('DELETE', pathTo('devices', name)),
              () => onDone(say('The login of {name} is ended.', { name })),
            )
          }
        />
      )}
      <ProblemNote problem={act.problem.value} />
    </div>
  )
}
