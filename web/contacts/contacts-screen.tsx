import { NextStepLine } from '../first/next-step-line.tsx'
import { usePage } from '../page/use-page.ts'
import { Screen } from '../parts/screen.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { ContactList } from './contact-list.tsx'
import { RingThisPhone } from './ring-this-phone.tsx'
import { WaitsForm } from './waits-form.tsx'
import { say } from '../../shared/words/say.ts'

/** Who is told, in which order and by what; and whether it rings. */
export function ContactsScreen() {
  const { person, household, telling } = usePage()
  const home = household.value
  const now = telling.now.value
  if (home === null || person.value === null)
    return (
      <Screen title={say('Contacts')} heading={say('Contacts')}>
        <p class="soft">{say('Brumal has not said yet who you are.')}</p>
      </Screen>
    )
  if (person.value.role !== 'keeper')
    return (
      <Screen title={say('Contacts')} heading={say('Contacts')}>
        <p class="lead">
          {home.contacts.length === 0
            ? say('Nobody is told yet: no phone rings, whatever happens.')
            : say('Told in this order: {contacts}. Only a keeper changes that.', {
                contacts: home.contacts.map(({ name }) => name).join(', '),
              })}
        </p>
        <div class="set-up">
          <RingThisPhone />
        </div>
      </Screen>
    )
  return (
    <Screen title={say('Contacts')} heading={say('Contacts')}>
      <p class="lead">{say('Who is told, in which order, and by what.')}</p>
      <NextStepLine />
      {now === null ? (
        <Skeleton shape="form" />
      ) : (
        <div class="set-up">
          <ContactList now={now} household={home} />
          <div>
            <RingThisPhone />
            <WaitsForm now={now} />
          </div>
        </div>
      )}
    </Screen>
  )
}
