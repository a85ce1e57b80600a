import { useSignal } from '@preact/signals'
import type { Channel, Contact } from '../../schemas/contact.ts'
import type { ChannelId } from '../../schemas/ids.ts'
import type { ChannelNow, TellingNow } from '../../schemas/telling-now.ts'
import { usePage } from '../page/use-page.ts'
import { ChoiceField, TextField } from '../parts/field.tsx'
import { useAct } from '../parts/use-act.ts'
import { freeId } from '../set-up/free-id.ts'
import { ThingForm } from '../set-up/thing-form.tsx'
import { channelKindName } from '../words/telling-words.ts'
import { newChannel, secretOf, type TypedKind } from './new-channel.ts'
import { saveChannel } from './save-contact.ts'
import { type Header, WebhookFields } from './webhook-fields.tsx'
import { say } from '../../shared/words/say.ts'

const fields = [
  'channel.label',
  'channel.url',
  'channel.address',
  'channel.method',
  'channel.contentType',
  'channel.template',
  'secret.token',
]

/** A channel that is typed in. What is secret of it is only written, never shown (X4). */
export function ChannelForm({
  of,
  contact,
  now,
  onDone,
}: {
  of: ChannelNow | null
  contact: Contact
  now: TellingNow
  onDone: () => void
}) {
  const page = usePage()
  const act = useAct()
  const draft = useSignal<Channel>(of?.channel ?? newChannel('relay'))
  const token = useSignal('')
  const headers = useSignal<readonly Header[]>([])
  const problem = act.problem.value
  const channel = draft.value
  const hasSecret = of?.hasSecret ?? false
  const onSave = (): void => {
    const taken = now.contacts.flatMap(({ channels }) => channels.map((one) => one.channel))
    const id = of?.channel.id ?? (freeId(channel.label, taken) as ChannelId)
    const secret = secretOf(channel.kind, token.value, headers.value)
    void act.run(() => saveChannel(page, contact.id, { ...channel, id }, secret), onDone)
  }
  return (
    <ThingForm
      label={
        of === null
          ? say('New channel for {contact}', { contact: contact.name })
          : say('Change {label}', { label: of.channel.label })
      }
      act={act}
      fields={fields}
      onCancel={onDone}
      onSave={onSave}
    >
      {of === null && (
        <KindChoice kind={channel.kind} now={now} onKind={(kind) => (draft.value = newChannel(kind))} />
      )}
      <TextField
        label={say('What to call it')}
        field="channel.label"
        required
        maxLength={60}
        problem={problem}
        value={channel.label}
        onValue={(label) => (draft.value = { ...channel, label })}
      />
      {channel.kind === 'relay' && (
        <>
          <TextField
            label={say('Address with its topic')}
            field="channel.url"
            type="url"
            required
            maxLength={500}
            placeholder="https://"
            problem={problem}
            value={channel.url}
            onValue={(url) => (draft.value = { ...channel, url })}
          />
          <TextField
            label={say('Token')}
            field="secret.token"
            type="password"
            autoComplete="new-password"
            hint={
              hasSecret
                ? say('A token is kept. Type a new one to replace it.')
                : say('Only where the relay asks for one.')
            }
            maxLength={500}
            problem={problem}
            value={token.value}
            onValue={(value) => (token.value = value)}
          />
        </>
      )}
      {channel.kind === 'mail' && (
        <TextField
          label={say('Mail address')}
          field="channel.address"
          type="email"
          autoComplete="email"
          required
          maxLength={254}
          problem={problem}
          value={channel.address}
          onValue={(address) => (draft.value = { ...channel, address })}
        />
      )}
      {channel.kind === 'webhook' && (
        <WebhookFields
          channel={channel}
          problem={problem}
          onChannel={(changed) => (draft.value = changed)}
          headers={headers.value}
          hasSecret={hasSecret}
          onHeaders={(rows) => (headers.value = rows)}
        />
      )}
    </ThingForm>
  )
}

function KindChoice({
  kind,
  now,
  onKind,
}: {
  kind: Channel['kind']
  now: TellingNow
  onKind: (kind: TypedKind) => void
}) {
  const kinds: readonly TypedKind[] = ['relay', 'mail', 'webhook']
  return (
    <ChoiceField
      label={say('By')}
      field="channel.kind"
      hint={say('To ring a phone by itself, open this page on it and press Ring this phone.{part}', {
        part: now.kinds.mail ? '' : say(' Mail needs a mail server in the settings: see the README.'),
      })}
      value={kind}
      onValue={(value) => onKind(value as TypedKind)}
      choices={kinds.map((one) => ({
        value: one,
        label: now.kinds[one]
          ? channelKindName[one]
          : say('{part}, not set up here', { part: channelKindName[one] }),
        disabled: !now.kinds[one],
      }))}
    />
  )
}
