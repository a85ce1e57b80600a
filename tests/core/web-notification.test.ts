import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { pushPayload } from '../../daemon/notify/push-payload.ts'
import { MessageKind } from '../../schemas/outbox.ts'
import type { Answer } from '../../web/page/ask.ts'
import { answeredNotice, noticeOf, readData } from '../../web/worker/notification.ts'
import { answerTap, openPage } from '../../web/worker/tap.ts'
import { wayOf } from '../../web/worker/way-of.ts'
import { aParcel, type Change } from '../support/channel-world.ts'

/** Plaintext that a record of 4096 bytes leaves room for (RFC 8188 §2). */
const room = 3993
const home = 'https://brumal.frog-house.example'
const links = { link: `${home}/answer#see`, acknowledgeLink: `${home}/answer?now#sealed` }
const noticeFor = ({ message, ...rest }: Change = {}) =>
  noticeOf(pushPayload(aParcel({ ...rest, message: { ...links, ...message } }), room))

describe('what a push message shows', () => {
  test('A6: title and text as the daemon wrote them, and a button that acknowledges', () => {
    const { title, options } = noticeFor()
    expect(title).toBe('ALARM Box 1 0.4 °C, too cold')
    expect(options.body).toBe('Box 1 is too cold.\nFirst: look at the fridge door.')
    expect(options.actions).toEqual([{ action: 'answer', title: 'Acknowledge' }])
    expect(options.data).toMatchObject({ path: '/answer#see', token: 'sealed', isRing: false })
  })

  test('A4: one alarm has one notification, and only high stays until somebody touches it', () => {
    const alarm = 'limit:box-1:temperature:lowCritical'
    for (const kind of ['raised', 'again', 'returned'] as const)
      expect(noticeFor({ kind }).options.tag).toBe(alarm)
    expect(noticeFor().options).toMatchObject({ renotify: true, requireInteraction: true })
    expect(noticeFor().options.vibrate).not.toHaveLength(0)
    const medium = noticeFor({ message: { priority: 'medium' } }).options
    expect([medium.renotify, medium.requireInteraction, medium.vibrate]).toEqual([true, undefined, undefined])
  })

  test('A4: what is over and the morning’s summary make no sound', () => {
    for (const kind of MessageKind.options) {
      const { silent, renotify } = noticeFor({ kind, message: { priority: 'low' } }).options
      const isQuiet = kind === 'returned' || kind === 'summary' || kind === 'floodOver'
      expect([kind, silent ?? false, renotify ?? false]).toEqual([kind, isQuiet, !isQuiet])
    }
    expect(noticeFor({ kind: 'floodOver', message: { priority: 'high' } }).options.silent).toBeUndefined()
  })

  test('messages about no alarm replace one another by their kind, never an alarm', () => {
    expect(noticeFor({ kind: 'summary', alarm: null }).options.tag).toBe('brumal:summary')
    expect(noticeFor({ kind: 'ring', alarm: null }).options.tag).toBe('brumal:ring')
  })

  test('a test asks whether it rang, and has nothing to acknowledge', () => {
    const { actions, data, requireInteraction } = noticeFor({ kind: 'ring', alarm: null }).options
    expect(actions).toEqual([{ action: 'answer', title: 'It rang' }])
    expect([data.isRing, data.token, requireInteraction]).toEqual([true, 'sealed', true])
  })

  test('without a link there is no button, and a tap leads to the alarms', () => {
    const { actions, data } = noticeFor({ message: { link: null, acknowledgeLink: null } }).options
    expect([actions, data.path, data.token]).toEqual([undefined, '/alarms', null])
  })

  test('X4: a tap never leads to another site than the one that the phone was rung from', () => {
    const leads = (link: string) => noticeFor({ message: { link } }).options.data.path
    expect(leads('https://other.example/answer?now#x')).toBe('/answer?now#x')
    expect(leads('https://other.example//third.example/x')).toBe('/third.example/x')
    expect(leads('javascript:alert(1)')).toBe('/alarms')
    expect(leads('answer#x')).toBe('/alarms')
  })

  test.each([
    ['nothing', null],
    ['no JSON', 'Box 1 is too cold'],
    ['no object', '5'],
    ['null', 'null'],
    ['no title', JSON.stringify({ text: 'x', priority: 'high', kind: 'raised' })],
    ['an empty title', JSON.stringify({ title: '', text: 'x', priority: 'high', kind: 'raised' })],
    ['a priority of its own', JSON.stringify({ title: 'x', text: 'x', priority: 'dire', kind: 'raised' })],
    ['a kind of its own', JSON.stringify({ title: 'x', text: 'x', priority: 'high', kind: 'song' })],
  ])('N1: %s still rings, as loud as the worst alarm', (_what, payload) => {
    const { title, options } = noticeOf(payload)
    expect(title).toBe('Brumal has something to say')
    expect(options).toMatchObject({ renotify: true, requireInteraction: true, data: { path: '/alarms' } })
  })

  test('N1: no payload at all goes unshown, and none breaks a rule of the platform', () => {
    const anyLink = fc
      .tuple(fc.constantFrom('https:', 'http://h//', 'javascript:', 'data:,', '//', '/', '\\\\'), fc.string())
      .map((parts) => parts.join(''))
    const anyField = fc.oneof(fc.string(), fc.constant(null), fc.integer(), fc.webUrl(), anyLink)
    const anyPush = fc.record(
      {
        title: anyField,
        text: anyField,
        priority: fc.oneof(fc.constantFrom('low', 'medium', 'high'), anyField),
        kind: fc.oneof(fc.constantFrom(...MessageKind.options), anyField),
        alarm: anyField,
        link: anyField,
        acknowledgeLink: anyField,
      },
      { requiredKeys: [] },
    )
    const anyPayload = fc.oneof(
      fc.string(),
      anyPush.map((push) => JSON.stringify(push)),
    )
    fc.assert(
      fc.property(anyPayload, (payload) => {
        const { title, options } = noticeOf(payload)
        expect(title).not.toBe('')
        // Notifications API §2.9: renotify needs a tag, and silence forbids vibration; either throws
        expect(options.tag).not.toBe('')
        expect(options.silent === true && options.vibrate !== undefined).toBe(false)
        expect(new URL(options.data.path, home).origin).toBe(home)
        expect(readData(JSON.parse(JSON.stringify(options.data)))).toEqual(options.data)
      }),
    )
  })

  test('what a notification of another make carries is not read', () => {
    expect(readData(undefined)).toBeNull()
    expect(readData({ path: 'https://other.example', tag: 'x' })).toBeNull()
    expect(readData({ path: '/alarms' })).toBeNull()
  })
})

describe('what a tap does', () => {
  const data = noticeFor().options.data
  /** Answers by the last part of the path. */
  const askOf = (answers: Readonly<Record<string, Answer<unknown>>>) => {
    const asked: string[] = []
    const ask = async <T>(_method: string, path: string): Promise<Answer<T>> => {
      asked.push(path)
      return (answers[path] ?? lost) as Answer<T>
    }
    return { ask, asked }
  }
  const problem = (status: number) => ({ type: 'about:blank', title: 'x', status, code: 'x' })
  const lost: Answer<never> = { ok: false, problem: problem(0) }
  const says = (sentence: string): Answer<unknown> => ({ ok: true, value: { sentence } })

  test('A4: the button acknowledges, and says who did', async () => {
    const { ask, asked } = askOf({ '/api/answer/acknowledge': says('Ada acknowledged it at 03:14.') })
    const notice = await answerTap(ask, data)
    expect(notice?.options.body).toBe('Ada acknowledged it at 03:14.')
    expect(notice?.options).toMatchObject({ silent: true, tag: data.tag })
    expect(notice?.options.actions).toBeUndefined()
    expect(asked).toEqual(['/api/answer/acknowledge'])
  })

  test('A4: where somebody was first, it says so instead of failing', async () => {
    const { ask } = askOf({
      '/api/answer/acknowledge': { ok: false, problem: problem(409) },
      '/api/answer': says('Bela acknowledged it at 03:12.'),
    })
    expect((await answerTap(ask, data))?.options.body).toBe('Bela acknowledged it at 03:12.')
  })

  test('without a network, or with a link that has had its day, the page is opened instead', async () => {
    expect(await answerTap(askOf({}).ask, data)).toBeNull()
    const old = { '/api/answer/acknowledge': { ok: false, problem: problem(410) } } as const
    expect(await answerTap(askOf(old).ask, data)).toBeNull()
    expect(await answerTap(askOf({}).ask, { ...data, token: null })).toBeNull()
  })

  test('a test is answered as rung', async () => {
    const ring = noticeFor({ kind: 'ring', alarm: null }).options.data
    const { ask, asked } = askOf({ '/api/answer/rang': says('Thank you: it is noted that this rings.') })
    expect((await answerTap(ask, ring))?.title).toBe('Test')
    expect(asked).toEqual(['/api/answer/rang'])
  })

  test('an open dashboard comes to the front; a page that stands for one link does not count as one', async () => {
    const open = async (urls: readonly string[], ring = false) => {
      const done: string[] = []
      const pages = urls.map((url) => ({
        url,
        focus: async () => done.push(`focus ${url}`),
        postMessage: (said: unknown) => done.push(JSON.stringify(said)),
      }))
      const clients = {
        claim: async () => {},
        matchAll: async () => pages,
        openWindow: async (path: string) => done.push(`open ${path}`),
      }
      await openPage(clients, { ...data, isRing: ring })
      return done
    }
    expect(await open([])).toEqual(['open /answer#see'])
    expect(await open([`${home}/answer#old`, `${home}/winter`])).toEqual([
      '{"kind":"open","path":"/answer#see"}',
      `focus ${home}/winter`,
    ])
    expect(await open([`${home}/answer#old`])).toEqual(['open /answer#see'])
    expect(await open([`${home}/winter`], true)).toEqual(['open /answer#see'])
  })

  test('the notification that says what came of it has nothing left to answer', () => {
    const { options } = answeredNotice(data, 'Done.')
    expect([options.actions, options.data.token, options.silent]).toEqual([undefined, null, true])
  })
})

describe('what the worker comes between', () => {
  const files = ['/', '/assets/index-AbCd1234.js', '/icon.svg']
  const way = (url: string, method = 'GET', mode = 'cors') =>
    wayOf({ url: new URL(url, home).href, method, mode }, home, files)

  test('of the API it keeps two answers, and lets all else pass', () => {
    expect(way('/api/tonight')).toBe('kept')
    expect(way('/api/household')).toBe('kept')
    for (const path of ['/api/telling', '/api/me', '/api/live', '/api/alarms', '/api/access', '/health'])
      expect([path, way(path), way(path, 'GET', 'navigate')]).toEqual([path, 'network', 'network'])
    expect(way('/api/household', 'PUT')).toBe('network')
    expect(way('/api/sign-out', 'POST')).toBe('out')
    expect(way('/api/acknowledge', 'POST')).toBe('network')
  })

  test('screens are the page, whatever stands behind the question mark', () => {
    for (const path of ['/', '/tonight', '/contacts', '/answer?now#x', '/join#y'])
      expect([path, way(path, 'GET', 'navigate')]).toEqual([path, 'page'])
    expect(way('/manifest.webmanifest', 'GET', 'navigate')).toBe('network')
  })

  test('its own files it knows by name; other sites are none of its business', () => {
    expect(way('/assets/index-AbCd1234.js')).toBe('file')
    expect(way('/assets/index-other000.js')).toBe('network')
    expect(way('https://other.example/api/tonight')).toBe('network')
    expect(way('https://other.example/', 'GET', 'navigate')).toBe('network')
  })
})
