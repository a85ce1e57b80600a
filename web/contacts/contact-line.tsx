import { useSignal } from '@preact/signals'
import type { Household } from '../../schemas/household.ts'
import type { ContactNow, TellingNow } from '../../schemas/telling-now.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { ChannelForm } from './channel-form.tsx'
import { ChannelLine } from './channel-line.tsx'
import { ContactForm } from './contact-form.tsx'
import { removeContact } from './save-contact.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** One contact: who, how they want to be told, and their channels. */
export function ContactLine({
  of: { contact, channels },
  number,
  now,
  household,
  onMove,
  isLast,
}: {
  of: ContactNow
  number: number
  now: TellingNow
  household: Household
  onMove: (by: -1 | 1) => void
  isLast: boolean
}) {
  const page = usePage()
  const act = useAct()
  const open = useSignal<'change' | 'add' | null>(null)
  const toggle = (what: 'change' | 'add'): void => {
    open.value = open.value === what ? null : what
  }
  const close = (): void => {
    open.value = null
  }
  const zone = contact.timeZone ?? household.timeZone
  const about = [
    say('{clock} in {zone}', { clock: page.tell.clock(page.now.value, zone), zone }),
    contact.units === 'celsius' ? '°C' : '°F',
    ...(contact.quiet === null
      ? []
      : [say('quiet {from} to {to}', { from: contact.quiet.from, to: contact.quiet.to })]),
  ]
  return (
    <article class="contact" aria-labelledby={`contact-${contact.id}`}>
      <header class="contact-head">
        <span class="contact-number" aria-hidden="true">
          {number}
        </span>
        <div class="contact-who">
          <h3 id={`contact-${contact.id}`}>{contact.name}</h3>
          <p class="soft">{about.join(' · ')}</p>
        </div>
        <MoveButton by={-1} name={contact.name} isOff={number === 1} onMove={onMove} />
        <MoveButton by={1} name={contact.name} isOff={isLast} onMove={onMove} />
      </header>
      <div class="thing-acts contact-acts">
        <button
          type="button"
          class="quiet"
          aria-expanded={open.value === 'change'}
          onClick={() => toggle('change')}
        >
          {sayWith('Change{unseen}', { unseen: <span class="unseen"> {contact.name}</span> })}
        </button>
        <button
          type="button"
          class="quiet"
          disabled={act.isBusy.value}
          onClick={() => void act.run(() => removeContact(page, contact, now))}
        >
          {sayWith('Remove{unseen}', { unseen: <span class="unseen"> {contact.name}</span> })}
        </button>
      </div>
      <ProblemNote problem={act.problem.value} />
      {open.value === 'change' && (
        <ContactForm contact={contact} taken={[]} household={household} onDone={close} />
      )}
      {channels.length === 0 && (
        <p class="nobody">
          <strong>{say('Nothing reaches {contact} yet.', { contact: contact.name })}</strong>
        </p>
      )}
      <ul class="channels">
        {channels.map((channel) => (
          <li key={channel.channel.id}>
            <ChannelLine of={channel} contact={contact} now={now} />
          </li>
        ))}
      </ul>
      <button type="button" class="quiet" aria-expanded={open.value === 'add'} onClick={() => toggle('add')}>
        {sayWith('Add a channel{unseen}', {
          unseen: <span class="unseen">{say(' for {contact}', { contact: contact.name })}</span>,
        })}
      </button>
      {open.value === 'add' && <ChannelForm of={null} contact={contact} now={now} onDone={close} />}
    </article>
  )
}

/** Keeps the focus when there is no further step: a disabled button would lose it. */
function MoveButton({
  by,
  name,
  isOff,
  onMove,
}: {
  by: -1 | 1
  name: string
  isOff: boolean
  onMove: (by: -1 | 1) => void
}) {
  return (
    <button
      type="button"
      class="quiet move"
      aria-label={say('Tell {name} {part}', { name, part: by === -1 ? 'earlier' : 'later' })}
      aria-disabled={isOff}
      onClick={() => onMove(by)}
    >
      <svg viewBox="0 0 20 20" aria-hidden="true" focusable="false">
        <path d={by === -1 ? 'M4 12.5l6-6 6 6' : 'M4 7.5l6 6 6-6'} />
      </svg>
    </button>
  )
}
