import { useSignal } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import type { Problem } from '../../schemas/api.ts'
import { usePage } from '../page/use-page.ts'
import { readPhoneNote, type PhoneNote } from '../page/phone-note.ts'
import { TextField } from '../parts/field.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { hurdleNow, isRung, ringThisPhone, stopRinging } from './phone.ts'
import { type Hurdle, hurdleWords, phoneName } from './phone-words.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** Lets alarms ring the browser that this page is open in, for whoever is signed in. */
export function RingThisPhone() {
  const page = usePage()
  const label = useSignal(phoneName(navigator.userAgent))
  const hurdle = useSignal<Hurdle | null>(hurdleNow())
  const problem = useSignal<Problem | null>(null)
  const note = useSignal<PhoneNote | null>(null)
  const isBusy = useSignal(false)
  const said = useSignal('')

  useEffect(() => {
    if (hurdle.value === null)
      void (async () => (note.value = (await isRung()) ? await readPhoneNote() : null))()
  }, [])

  const contact = page.household.value?.contacts.find(({ id }) => id === note.value?.contact)
  // A keeper sees whether the channel still is one; who sees no channels must trust the browser
  const now = page.telling.now.value?.contacts.find((one) => one.contact.id === contact?.id)
  const isGone = now !== undefined && !now.channels.some((one) => one.channel.id === note.value?.channel)
  const isOn = note.value !== null && contact !== undefined && !isGone

  const begin = async (): Promise<void> => {
    isBusy.value = true
    said.value = ''
    const rung = await ringThisPhone(page.ask, label.value.trim())
    hurdle.value = 'hurdle' in rung ? rung.hurdle : null
    problem.value = 'problem' in rung ? rung.problem : null
    if (rung.ok) {
      note.value = { label: label.value, contact: rung.value.contact.id, channel: rung.value.channel.id }
      await Promise.all([page.refresh(), page.telling.refresh()])
      said.value = say('Done.')
    }
    isBusy.value = false
  }
  const end = async (): Promise<void> => {
    isBusy.value = true
    await stopRinging()
    note.value = null
    said.value = say('This browser is no longer rung.')
    isBusy.value = false
  }

  return (
    <section class="part" aria-labelledby="part-phone">
      <h2 id="part-phone">{say('Ring this phone')}</h2>
      {isOn ? (
        <>
          <p>
            {sayWith('Alarms for {contact} ring here, in this browser, as {strong}.', {
              contact: contact.name,
              strong: <strong>{note.value?.label}</strong>,
            })}
          </p>
          <button type="button" disabled={isBusy.value} onClick={() => void end()}>
            {say('Ring it no more')}
          </button>
        </>
      ) : hurdle.value === 'insecure' || hurdle.value === 'homeScreen' || hurdle.value === 'noPush' ? (
        <HurdleNote hurdle={hurdle.value} isNews={false} />
      ) : (
        <form
          class="phone-form"
          aria-label={say('Ring this phone')}
          onSubmit={(event) => {
            event.preventDefault()
            void begin()
          }}
        >
          <p class="soft">{say('Alarms reach this browser even while the page is closed.')}</p>
          <TextField
            label={say('What to call it')}
            field="label"
            required
            maxLength={60}
            problem={problem.value}
            value={label.value}
            onValue={(value) => (label.value = value)}
          />
          {hurdle.value !== null && <HurdleNote hurdle={hurdle.value} isNews />}
          <ProblemNote problem={problem.value} fields={['label']} />
          <button type="submit" class="strong" disabled={isBusy.value}>
            {say('Ring this phone')}
          </button>
        </form>
      )}
      <p class="hint" role="status">
        {said.value}
      </p>
    </section>
  )
}

function HurdleNote({ hurdle, isNews }: { hurdle: Hurdle; isNews: boolean }) {
  const { what, advice } = hurdleWords[hurdle]
  return (
    <div class="hurdle" role={isNews ? 'alert' : undefined}>
      <p>
        <strong>{what}</strong>
      </p>
      {advice.map((one) => (
        <p key={one}>{one}</p>
      ))}
    </div>
  )
}
