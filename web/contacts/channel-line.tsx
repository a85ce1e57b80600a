import { useSignal } from '@preact/signals'
import type { Contact } from '../../schemas/contact.ts'
import type { ChannelNow, MessageLine, TellingNow } from '../../schemas/telling-now.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { channelKindName, conditionName, daysAgoWords, rungWords } from '../words/telling-words.ts'
import { ChannelForm } from './channel-form.tsx'
import { RingTest } from './ring-test.tsx'
import { removeChannel, ring } from './save-contact.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** One channel: whether it works, when it last rang, and the button that finds out. */
export function ChannelLine({ of, contact, now }: { of: ChannelNow; contact: Contact; now: TellingNow }) {
  const page = usePage()
  const act = useAct()
  const isOpen = useSignal(false)
  const test = useSignal<MessageLine | null>(null)
  const said = useSignal('')
  const { channel, condition, lastSentence, lastAt } = of
  const clock = page.now.value
  return (
    <div class="channel">
      <p>
        <strong>{channel.label}</strong>{' '}
        <span class="soft">
          {channelKindName[channel.kind]}
          {channel.kind === 'mail' && `, ${channel.address}`}
        </span>{' '}
        <span class={condition === 'failing' ? 'channel-fails' : 'soft'}>· {conditionName[condition]}</span>
      </p>
      {lastSentence !== null && (
        <p class="hint">
          {lastAt !== null && `${upperFirst(daysAgoWords(clock - lastAt))}: `}
          {lastSentence}
        </p>
      )}
      <p class={of.isRingDue ? 'channel-due' : 'hint'}>{rungWords(of, clock)}</p>
      <div class="channel-acts">
        <button
          type="button"
          disabled={act.isBusy.value}
          onClick={() => {
            said.value = ''
            test.value = null
            void act.run(
              () => ring(page, contact.id, channel),
              (line) => (test.value = line),
            )
          }}
        >
          {sayWith('Ring it{unseen}', {
            unseen: <span class="unseen">{say(' by {label}', { label: channel.label })}</span>,
          })}
        </button>
        <button
          type="button"
          class="quiet"
          aria-expanded={isOpen.value}
          onClick={() => (isOpen.value = !isOpen.value)}
        >
          {sayWith('Change{unseen}', { unseen: <span class="unseen"> {channel.label}</span> })}
        </button>
        <button
          type="button"
          class="quiet"
          disabled={act.isBusy.value}
          onClick={() => void act.run(() => removeChannel(page, contact, channel, of.hasSecret))}
        >
          {sayWith('Remove{unseen}', { unseen: <span class="unseen"> {channel.label}</span> })}
        </button>
      </div>
      {test.value === null ? (
        <ProblemNote problem={act.problem.value} />
      ) : (
        <RingTest
          line={test.value}
          contact={contact}
          channel={channel}
          act={act}
          onDone={(sentence) => {
            test.value = null
            said.value = sentence
          }}
        />
      )}
      <p class="hint" role="status">
        {said.value}
      </p>
      {isOpen.value && (
        <ChannelForm of={of} contact={contact} now={now} onDone={() => (isOpen.value = false)} />
      )}
    </div>
  )
}

const upperFirst = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)
