import { useSignal } from '@preact/signals'
import type { Contact } from '../../schemas/contact.ts'
import type { Household } from '../../schemas/household.ts'
import type { ContactId } from '../../schemas/ids.ts'
import type { TellingNow } from '../../schemas/telling-now.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { ContactForm } from './contact-form.tsx'
import { ContactLine } from './contact-line.tsx'
import { moved } from './moved.ts'
import { saveTelling } from './save-contact.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** Contacts in the order in which they are told. */
export function ContactList({ now, household }: { now: TellingNow; household: Household }) {
  const page = usePage()
  const act = useAct()
  const isAdding = useSignal(false)
  const said = useSignal('')
  const order = now.contacts.map(({ contact }) => contact.id)

  const move = (contact: Contact, by: -1 | 1): void => {
    const next = moved(order, contact.id, by)
    if (next === order) return
    const place = next.indexOf(contact.id) + 1
    void act.run(
      () => saveTelling(page, next, now.telling),
      () =>
        (said.value = say('{contact} is now number {place} of {next}.', {
          contact: contact.name,
          place,
          next: next.length,
        })),
    )
  }

  return (
    <section class="part" aria-labelledby="part-contacts">
      <h2 id="part-contacts">{say('Told in this order')}</h2>
      {now.contacts.length === 0 && (
        <div class="nobody">
          <p>
            {sayWith('{strong} No phone rings, whatever happens, until a contact is added.', {
              strong: <strong>{say('Nobody is told yet.')}</strong>,
            })}
          </p>
          <p class="soft">
            {say(
              'The shortest way: open this page on the phone that is to ring, sign in, and press Ring this phone.',
            )}
          </p>
        </div>
      )}
      <ol class="contacts">
        {now.contacts.map((one, i) => (
          <li key={one.contact.id}>
            <ContactLine
              of={one}
              number={i + 1}
              now={now}
              household={household}
              onMove={(by) => move(one.contact, by)}
              isLast={i === order.length - 1}
            />
          </li>
        ))}
      </ol>
      <p class="unseen" role="status">
        {said.value}
      </p>
      <ProblemNote problem={act.problem.value} />
      <button type="button" aria-expanded={isAdding.value} onClick={() => (isAdding.value = !isAdding.value)}>
        {say('Add a contact')}
      </button>
      {isAdding.value && (
        <ContactForm
          contact={null}
          taken={order.map((id: ContactId) => ({ id }))}
          household={household}
          onDone={() => (isAdding.value = false)}
        />
      )}
    </section>
  )
}
