import { usePage } from '../page/use-page.ts'
import { Screen } from '../parts/screen.tsx'
import { ContactList } from './contact-list.tsx'
import { RingThisPhone } from './ring-this-phone.tsx'
import { WaitsForm } from './waits-form.tsx'

/** Who is told, in which order and by what; and whether it rings. */
export function ContactsScreen() {
  const { person, household, telling } = usePage()
  const home = household.value
  const now = telling.now.value
  if (home === null || person.value === null)
    return (
      <Screen title="Contacts" heading="Contacts">
        <p class="soft">Brumal has not said yet who you are.</p>
      </Screen>
    )
  if (person.value.role !== 'keeper')
    return (
      <Screen title="Contacts" heading="Contacts">
        <p class="lead">
          {home.contacts.length === 0
            ? 'Nobody is told yet: no phone rings, whatever happens.'
            : `Told in this order: ${home.contacts.map(({ name }) => name).join(', ')}. Only a keeper changes that.`}
        </p>
        <div class="set-up">
          <RingThisPhone />
        </div>
      </Screen>
    )
  return (
    <Screen title="Contacts" heading="Contacts">
      <p class="lead">Who is told, in which order, and by what.</p>
      {now !== null && (
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
