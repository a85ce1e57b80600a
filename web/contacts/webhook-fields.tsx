import type { Problem } from '../../schemas/api.ts'
import type { Channel } from '../../schemas/contact.ts'
import { AreaField, type Choice, ChoiceField, TextField } from '../parts/field.tsx'
import { placeholders, templateFor, webhookTemplates } from './webhook-template.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

type Webhook = Extract<Channel, { readonly kind: 'webhook' }>

export interface Header {
  readonly name: string
  readonly value: string
}

/** Any HTTP service: its address, how it wants to be asked, and the body as a template. */
export function WebhookFields({
  channel,
  problem,
  onChannel,
  headers,
  hasSecret,
  onHeaders,
}: {
  channel: Webhook
  problem: Problem | null
  onChannel: (channel: Webhook) => void
  headers: readonly Header[]
  hasSecret: boolean
  onHeaders: (headers: readonly Header[]) => void
}) {
  const { url, method, contentType, template } = channel
  const known: readonly Choice[] = webhookTemplates.map((one) => ({
    value: one.contentType,
    label: one.name,
  }))
  const isKnown = known.some((one) => one.value === contentType)
  return (
    <>
      <TextField
        label={say('Address')}
        field="channel.url"
        type="url"
        required
        maxLength={500}
        placeholder="https://"
        problem={problem}
        value={url}
        onValue={(value) => onChannel({ ...channel, url: value })}
      />
      <div class="field-pair">
        <ChoiceField
          label={say('Method')}
          field="channel.method"
          problem={problem}
          value={method}
          onValue={(value) => onChannel({ ...channel, method: value as Webhook['method'] })}
          choices={[
            { value: 'POST', label: say('POST') },
            { value: 'PUT', label: say('PUT') },
          ]}
        />
        <ChoiceField
          label={say('Content')}
          field="channel.contentType"
          problem={problem}
          value={contentType}
          onValue={(value) =>
            onChannel({ ...channel, contentType: value, template: templateFor(value, template) })
          }
          choices={[...known, ...(isKnown ? [] : [{ value: contentType, label: contentType }])]}
        />
      </div>
      <HeaderRows headers={headers} hasSecret={hasSecret} problem={problem} onHeaders={onHeaders} />
      <AreaField
        label={say('Body')}
        field="channel.template"
        hint={say('Values are written as the content needs them: in JSON they belong inside double quotes.')}
        rows={4}
        maxLength={4000}
        required
        problem={problem}
        value={template}
        onValue={(value) => onChannel({ ...channel, template: value })}
      />
      <details class="more">
        <summary>{say('What the body may hold')}</summary>
        <ul class="placeholders">
          {placeholders.map(([name, meaning]) => (
            <li key={name}>
              <code>{`{{${name}}}`}</code> {meaning}
            </li>
          ))}
        </ul>
      </details>
    </>
  )
}

/** Headers are secret as a whole: what is kept is never shown, and new ones take its place. */
function HeaderRows({
  headers,
  hasSecret,
  problem,
  onHeaders,
}: {
  headers: readonly Header[]
  hasSecret: boolean
  problem: Problem | null
  onHeaders: (headers: readonly Header[]) => void
}) {
  const set = (row: number, change: Partial<Header>): void =>
    onHeaders(headers.map((one, i) => (i === row ? { ...one, ...change } : one)))
  return (
    <fieldset class="own-limits headers">
      <legend>{say('Headers')}</legend>
      <p class="hint">
        {hasSecret
          ? say('Headers are kept. Add new ones to replace them all.')
          : say('Where the service asks for a key: Authorization, for example.')}
      </p>
      {headers.map((header, row) => (
        <div class="header-row" key={row}>
          <TextField
            label={say('Name')}
            field={`secret.headers.${header.name}`}
            autoComplete="off"
            required
            maxLength={60}
            problem={problem}
            value={header.name}
            onValue={(name) => set(row, { name })}
          />
          <TextField
            label={say('Value')}
            field={`secret.headers.${header.name}.value`}
            autoComplete="off"
            maxLength={500}
            problem={problem}
            value={header.value}
            onValue={(value) => set(row, { value })}
          />
          <button type="button" class="quiet" onClick={() => onHeaders(headers.filter((_, i) => i !== row))}>
            {sayWith('Leave out{unseen}', {
              unseen: <span class="unseen">{say(' header {part}', { part: row + 1 })}</span>,
            })}
          </button>
        </div>
      ))}
      <button
        type="button"
        class="quiet"
        onClick={() =>
          onHeaders([...headers, { name: headers.length === 0 ? 'Authorization' : '', value: '' }])
        }
      >
        {say('Add a header')}
      </button>
    </fieldset>
  )
}
