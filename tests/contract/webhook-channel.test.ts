import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { webhookSender } from '../../daemon/notify/webhook.ts'
import { fillTemplate, templateMistakes } from '../../daemon/notify/webhook-template.ts'
import type { Delivery } from '../../daemon/ports/outbox.ts'
import { Channel } from '../../schemas/contact.ts'
import type { ChannelSecret } from '../../schemas/contact.ts'
import { aParcel, checked, clock, webhookHeaders } from '../support/channel-world.ts'
import type { Change } from '../support/channel-world.ts'
import { startHttpReceiver } from '../support/http-receiver.ts'
import type { HttpReceiver } from '../support/http-receiver.ts'

let gateway: HttpReceiver
beforeEach(async () => {
  gateway = await startHttpReceiver()
})
afterEach(() => gateway.stop())

const json = 'application/json'
const form = 'application/x-www-form-urlencoded'

type Written = Partial<Extract<Channel, { kind: 'webhook' }>>
async function send(
  written: Written,
  change: Change = {},
  headers: Record<string, string> | null = webhookHeaders,
): Promise<Delivery> {
  const url = `${gateway.origin}/sms`
  const channel = Channel.parse({ id: 'w', kind: 'webhook', label: 'SMS', url, template: '{}', ...written })
  if (channel.kind !== 'webhook') throw new Error('not a webhook channel')
  const secret: ChannelSecret | null = headers === null ? null : { kind: 'webhook', headers }
  const sender = webhookSender({ clock })
  return checked(await sender.send(channel, secret, aParcel(change), AbortSignal.timeout(10_000)))
}

describe('the request, byte for byte', () => {
  test('JSON by POST, with the gateway’s own header', async () => {
    const template = '{"to":"0","say":"{{title}}: {{ text }}","loud":"{{priority}}","about":"{{alarm}}"}'
    expect(await send({ template })).toEqual({
      outcome: 'delivered',
      sentence: `The receiver at 127.0.0.1:${gateway.port} took the message (200).`,
    })
    const body =
      '{"to":"0","say":"ALARM Box 1 0.4 °C, too cold: Box 1 is too cold.\\nFirst: look at the fridge door.","loud":"high","about":"limit:box-1:temperature:lowCritical"}'
    const lines = [
      'POST /sms HTTP/1.1',
      `Host: 127.0.0.1:${gateway.port}`,
      'Content-Type: application/json',
      'X-Gateway-Key: webhook-key-9a2c',
      'Idempotency-Key: "limit:box-1:temperature:lowCritical/3/raised/ada-phone"',
      `Content-Length: ${Buffer.byteLength(body)}`,
      'Connection: close',
      '',
      body,
    ]
    expect(gateway.bytes().toString()).toBe(lines.join('\r\n'))
  })

  test('a form by PUT, without a secret', async () => {
    const template = 'to=0&text={{title}}&go={{link}}&ack={{acknowledgeLink}}&id={{key}}'
    const message = {
      title: 'Box 1 & 2: 50% = “cold”+',
      link: 'https://h.example/?a=1&b=2',
      acknowledgeLink: null,
    }
    await send({ method: 'PUT', contentType: form, template }, { key: 'k/1', message }, null)
    const body =
      'to=0&text=Box+1+%26+2%3A+50%25+%3D+%E2%80%9Ccold%E2%80%9D%2B&go=https%3A%2F%2Fh.example%2F%3Fa%3D1%26b%3D2&ack=&id=k%2F1'
    const lines = [
      'PUT /sms HTTP/1.1',
      `Host: 127.0.0.1:${gateway.port}`,
      `Content-Type: ${form}`,
      'Idempotency-Key: "k/1"',
      `Content-Length: ${body.length}`,
      'Connection: close',
      '',
      body,
    ]
    expect(gateway.bytes().toString()).toBe(lines.join('\r\n'))
  })

  test('plain text goes as it is, and says that it is UTF-8', async () => {
    await send(
      { contentType: 'text/plain', template: '{{title}}\n{{text}}' },
      { message: { title: 'Kühl "x"' } },
    )
    expect(gateway.requests[0]).toMatchObject({ headers: { 'content-type': 'text/plain; charset=utf-8' } })
    expect(gateway.requests[0]?.body.toString()).toBe(
      'Kühl "x"\nBox 1 is too cold.\nFirst: look at the fridge door.',
    )
  })

  test('a key header of the keeper’s own is left alone', async () => {
    await send({}, {}, { 'idempotency-key': 'mine' })
    expect(gateway.requests[0]?.headers['idempotency-key']).toBe('mine')
  })
})

describe('templates', () => {
  test.each([
    [
      '{"a":"{{title}} {{text}} {{priority}}","b":["{{link}}","{{acknowledgeLink}}","{{key}}","{{alarm}}"]}',
      json,
    ],
    ['{"a":{"b":{"c":"{{text}}"}}}', 'application/vnd.frog+json; charset=utf-8'],
    ['[]', json],
    ['a={{title}}', form],
    ['{{title}} }} {', 'text/plain; charset="UTF-8"'],
  ])('is good: %s as %s', (template, contentType) =>
    expect(templateMistakes(template, contentType)).toEqual([]),
  )

  const outside =
    'The template is not JSON once it is filled: each {{placeholder}} belongs inside double quotes.'
  const noType = 'The content type must be JSON, application/x-www-form-urlencoded or text/plain, in UTF-8.'
  test.each([
    [
      '{"a":"{{titel}}","b":"{{Text}}{{titel}}"}',
      json,
      ['There is no placeholder {{titel}}.', 'There is no placeholder {{Text}}.'],
    ],
    ['a={{}}', form, ['There is no placeholder {{}}.']],
    ['{{title', 'text/plain', ['A placeholder is opened with {{ and not closed.']],
    ['{"a":{{title}}}', json, [outside]],
    ['{"a":"{{title}}",}', json, [outside]],
    ['{"a":"\\{{title}}"}', json, [outside]],
    ['{"a":"\\u00{{title}}"}', json, [outside]],
    ['{"a":"x"{{alarm}}}', json, [outside]],
    ['', json, [outside]],
    ['{{title}}', 'application/xml', [noType]],
    ['{{title}}', 'text/plain; charset=iso-8859-1', [noType]],
    ['{{title}}', 'text/plain\r\nX: y', [noType]],
    [
      `["${'{{text}}'.repeat(6)}"]`,
      json,
      ['The template repeats the message so often that it would pass 64 KiB.'],
    ],
  ])('is refused: %s as %s', (template, contentType, mistakes) =>
    expect(templateMistakes(template, contentType)).toEqual(mistakes),
  )

  test('whatever a message says, it comes out of the JSON as it went in', () => {
    const template = '{"title":"{{title}}","text":"{{text}}","both":"<{{title}}|{{text}}>","link":"{{link}}"}'
    const anyText = fc.string({ unit: 'binary', maxLength: 120 })
    fc.assert(
      fc.property(anyText, anyText, fc.option(anyText), (title, text, link) => {
        const filled = fillTemplate(template, json, aParcel({ message: { title, text, link } }))
        expect(JSON.parse(filled)).toEqual({ title, text, both: `<${title}|${text}>`, link: link ?? '' })
      }),
    )
  })

  test('whatever a message says, it comes out of the form as it went in', () => {
    const anyText = fc.string({ unit: 'binary', maxLength: 120 })
    fc.assert(
      fc.property(anyText, anyText, (title, text) => {
        const filled = fillTemplate(
          't={{title}}&x={{text}}&end=1',
          form,
          aParcel({ message: { title, text } }),
        )
        expect([...new URLSearchParams(filled)]).toEqual([
          ['t', title],
          ['x', text],
          ['end', '1'],
        ])
      }),
    )
  })

  test('a placeholder in a message is only text', () => {
    const parcel = aParcel({ message: { title: '{{text}} $& $1', text: '{{key}}' } })
    expect(fillTemplate('{{title}}/{{text}}', 'text/plain', parcel)).toBe('{{text}} $& $1/{{key}}')
  })

  test('a template with a mistake is refused before anything is sent', async () => {
    const delivery = await send({ template: '{"a":"{{wrong}}"}' })
    expect(delivery).toEqual({ outcome: 'refused', sentence: 'There is no placeholder {{wrong}}.' })
    expect(gateway.count()).toBe(0)
  })
})

test.each([
  ['Content-Length', '5'],
  ['transfer-encoding', 'chunked'],
  ['Host', 'elsewhere.invalid'],
  ['X-Key', 'two\r\nX-Evil: 1'],
  ['X-Key', 'schlüssel-geheim'],
])('X4: the header %s: %j is refused by name, its value unsaid', async (name, value) => {
  const delivery = await send({}, {}, { [name]: value })
  expect(delivery).toEqual({
    outcome: 'refused',
    sentence: `The header ${name} of this webhook cannot be sent.`,
  })
  expect(gateway.count()).toBe(0)
})

test('X3: an answer without end is read for 64 KiB and no further', async () => {
  gateway.behave('neverEnds')
  const started = performance.now()
  expect(await send({})).toMatchObject({ outcome: 'delivered' })
  expect(performance.now() - started).toBeLessThan(3000) // the receiver would pour 64 MiB
})
