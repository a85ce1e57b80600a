import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { byteLength, cutToFit } from '../../daemon/notify/cut-text.ts'
import { pushPayload } from '../../daemon/notify/push-payload.ts'
import { aParcel } from '../support/channel-world.ts'

const within =
  (limit: number) =>
  (text: string): boolean =>
    byteLength(text) <= limit

/** Any text that a person could write: no lone halves of a pair. */
const anyText = (maxLength: number) => fc.string({ unit: 'binary', maxLength })

describe('cutting text', () => {
  test.each([
    ['frog', 4, 'frog'],
    ['frogs', 4, 'f…'],
    ['frogs', 5, 'frogs'],
    ['frogs', 3, ''], // the ellipsis takes three bytes
    ['🐸🐸', 8, '🐸🐸'],
    ['🐸🐸', 7, '🐸…'],
    ['🐸🐸', 6, ''],
    ['ab  cd', 5, 'ab…'],
    ['', 0, ''],
  ])('“%s” in %d bytes is “%s”', (text, limit, cut) => expect(cutToFit(text, within(limit))).toBe(cut))

  test('what is cut fits, is a beginning, splits no character, and one character more would not have fitted', () => {
    fc.assert(
      fc.property(anyText(60), fc.nat(120), (text, limit) => {
        const cut = cutToFit(text, within(limit))
        expect(byteLength(cut)).toBeLessThanOrEqual(limit)
        if (byteLength(text) <= limit) {
          expect(cut).toBe(text)
          return
        }
        const kept = cut.endsWith('…') ? cut.slice(0, -1) : cut
        expect(text.startsWith(kept)).toBe(true)
        expect(Buffer.from(cut).toString()).toBe(cut) // a lone half would not come back
        const rest = text.slice(kept.length)
        const space = rest.length - rest.trimStart().length // what stood before the next character
        const next = String.fromCodePoint(rest.codePointAt(space) ?? 0)
        if (rest.trim() !== '')
          expect(byteLength(`${kept}${rest.slice(0, space)}${next}…`)).toBeGreaterThan(limit)
      }),
      { numRuns: 500 },
    )
  })
})

describe('the payload of a push message', () => {
  const anyMessage = fc.record({
    title: fc.string({ unit: 'binary-ascii', maxLength: 120 }),
    text: fc.oneof(anyText(1000), fc.string({ unit: 'binary-ascii', maxLength: 2000 })),
    link: fc.option(
      fc.webUrl({ size: 'large', withQueryParameters: true }).filter((url) => url.length <= 1000),
    ),
    acknowledgeLink: fc.option(fc.webUrl({ size: 'large' }).filter((url) => url.length <= 1000)),
  })

  test('any message fits in the limit, and a link is there whole or not at all', () => {
    fc.assert(
      fc.property(anyMessage, fc.constantFrom(3900, 2000), (message, limit) => {
        const written = pushPayload(aParcel({ message }), limit)
        expect(byteLength(written)).toBeLessThanOrEqual(limit)
        const read = JSON.parse(written) as Record<string, string | null>
        expect(Object.keys(read).sort()).toEqual(fields)
        for (const name of ['link', 'acknowledgeLink'] as const) {
          expect([message[name], null]).toContain(read[name])
          // in 3,900 bytes two links of ASCII always have room
          if (limit === 3900) expect(read[name]).toBe(message[name])
        }
      }),
    )
  })
  const fields = ['acknowledgeLink', 'alarm', 'key', 'kind', 'link', 'priority', 'text', 'title']

  test('the text is cut, not the title nor the links', () => {
    const parcel = aParcel({ message: { text: '冷'.repeat(2000) } })
    const read = JSON.parse(pushPayload(parcel, 3900)) as Record<string, string>
    expect(read).toMatchObject({ title: parcel.message.title, link: parcel.message.link })
    expect(read['text']).toMatch(/^冷+…$/)
    // one character of three bytes more would not fit
    expect(byteLength(pushPayload(parcel, 3900))).toBeGreaterThan(3897)
  })

  test('links that leave no room are left out whole, the one that answers first; the alarm still goes out', () => {
    const long = `https://brumal.frog-house.example/${'ö'.repeat(960)}`
    const parcel = aParcel({ message: { link: long, acknowledgeLink: long } })
    const read = JSON.parse(pushPayload(parcel, 3900)) as Record<string, string | null>
    expect(read).toMatchObject({ text: parcel.message.text, link: long, acknowledgeLink: null })
    const shorter = JSON.parse(pushPayload(parcel, 1500)) as Record<string, string | null>
    expect(shorter).toMatchObject({ text: parcel.message.text, link: null, acknowledgeLink: null })
  })
})
