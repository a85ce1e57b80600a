import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { instant } from '../../schemas/amounts.ts'
import type { Problem } from '../../schemas/api.ts'
import type { AnswerNow } from '../../schemas/telling-now.ts'
import { createAnswering } from '../../web/answer/answering.ts'
import { daemonClock } from '../../web/answer/daemon-clock.ts'
import { isAtOnce, keyIn } from '../../web/answer/link.ts'
import type { Answer } from '../../web/page/ask.ts'

const since = instant(Date.parse('2027-01-13T02:41:00+01:00'))

const standing: AnswerNow = {
  purpose: 'answer',
  household: 'Mill Lane',
  name: 'Robin',
  sentence: 'Nobody has answered it yet. It stands since 02:41.',
  alarm: {
    id: 'limit:top-box:temperature:lowCritical' as never,
    kind: 'limit',
    place: 'top-box' as never,
    sensor: null,
    contact: null,
    quantity: 'temperature',
    limit: 'lowCritical',
    priority: 'high',
    occurrence: 1,
    value: 0.9,
    threshold: 1,
    state: { name: 'unacknowledged', since },
  },
  headline: 'Top box is dangerously cold at 0.9 °C (limit 1.0 °C)',
  animals: ['Bramble (Hermann’s tortoise)'],
  firstThing: 'Move the box to a cool room.',
  canAcknowledge: true,
  canTend: true,
  tendedUntil: null,
  canShelve: false,
  longestShelving: 3_600_000,
}
const acknowledged: AnswerNow = {
  ...standing,
  sentence: 'Robin acknowledged it at 03:07. It still stands.',
  canAcknowledge: false,
}
const byBela: AnswerNow = { ...acknowledged, sentence: 'Bela acknowledged it at 03:05. It still stands.' }
const test_: AnswerNow = { ...standing, purpose: 'ring', alarm: null, canAcknowledge: false, canTend: false }

const refused = (status: number, code: string): Problem => ({
  type: 'about:blank',
  title: code,
  status,
  code,
})
const silence = refused(0, 'unreachable')

type Reply = AnswerNow | Problem
const isProblem = (reply: Reply): reply is Problem => 'status' in reply

/** An answer page whose daemon says what the test says; its clock is moved by hand. */
function aLink({ atOnce = false, key = 'a.b' }: { atOnce?: boolean; key?: string } = {}) {
  let at = 0
  let says: (path: string) => Reply = () => standing
  let dropped = 0
  const asked: string[] = []
  const answering = createAnswering({
    ask: async <T>(_method: string, path: string): Promise<Answer<T>> => {
      asked.push(path.replace('/api/answer', '') || 'look')
      const reply = says(path)
      return isProblem(reply) ? { ok: false, problem: reply } : { ok: true, value: reply as T }
    },
    key,
    atOnce,
    now: () => at,
    daemonNow: () => since + at,
    onPressed: () => (dropped += 1),
  })
  const settle = () => new Promise((resolve) => setImmediate(resolve))
  return {
    ...answering,
    asked,
    dropped: () => dropped,
    says: (how: (path: string) => Reply) => {
      says = how
    },
    /** Ticks once a second for so long. */
    async waits(ms: number, isInView = true) {
      for (let t = 0; t < ms; t += 1000) {
        at += 1000
        answering.tick(isInView)
        await settle()
      }
    },
    async opens(isInView = true) {
      answering.tick(isInView)
      await settle()
    },
    async presses() {
      await answering.press()
    },
  }
}

const whenAsked = (look: Reply, press: Reply) => (path: string) => (path.endsWith('/answer') ? look : press)

describe('a link that is opened and then pressed', () => {
  test('shows what it is about first, and acknowledges only when it is pressed (A6)', async () => {
    const link = aLink()
    link.says(whenAsked(standing, acknowledged))
    await link.opens()
    expect([link.asked, link.seen.value, link.done.value]).toEqual([['look'], standing, null])
    await link.presses()
    expect(link.asked).toEqual(['look', '/acknowledge'])
    expect([link.seen.value, link.done.value, link.trouble.value]).toEqual([
      acknowledged,
      'acknowledge',
      null,
    ])
  })

  test('looks again each 15 s while it is in view, and never out of it', async () => {
    const link = aLink()
    await link.opens()
    await link.waits(14_000)
    expect(link.asked.length).toBe(1)
    await link.waits(1000)
    expect(link.asked.length).toBe(2)
    await link.waits(600_000, false)
    expect(link.asked.length).toBe(2)
  })

  test('a press without a network is told, and tried again by itself until it is through', async () => {
    const link = aLink()
    await link.opens()
    link.says(() => silence)
    await link.presses()
    expect(link.trouble.value).toEqual({ problem: silence, isPress: true })
    await link.waits(20_000)
    expect(link.done.value).toBe(null)
    link.says(whenAsked(standing, acknowledged))
    await link.waits(5000)
    expect([link.done.value, link.trouble.value, link.isPressed.value]).toEqual(['acknowledge', null, false])
  })

  test('after two minutes nobody stands by a press any more: it is not made, and said not to have been', async () => {
    const link = aLink()
    await link.opens()
    link.says(() => silence)
    await link.presses()
    await link.waits(121_000)
    link.says(whenAsked(standing, acknowledged))
    const before = link.asked.length
    await link.waits(60_000)
    expect(link.asked.slice(before)).not.toContain('/acknowledge')
    expect(link.trouble.value).toMatchObject({ isPress: true })
    await link.presses()
    expect([link.done.value, link.trouble.value]).toEqual(['acknowledge', null])
  })

  test('who was quicker is shown, and the press that came to nothing is no trouble any more', async () => {
    const link = aLink()
    await link.opens()
    link.says(() => silence)
    await link.presses()
    await link.waits(121_000)
    link.says(whenAsked(byBela, byBela))
    await link.waits(5000)
    expect([link.seen.value, link.done.value, link.trouble.value]).toEqual([byBela, null, null])
  })

  test('a second press while the first is under way asks once', async () => {
    const link = aLink()
    link.says(whenAsked(standing, acknowledged))
    await link.opens()
    await Promise.all([link.presses(), link.presses()])
    expect(link.asked).toEqual(['look', '/acknowledge'])
  })

  test('an earlier raising is refused, and how it stands now is fetched to say why', async () => {
    const raisedAgain = {
      ...standing,
      canAcknowledge: false,
      canTend: false,
      sentence: 'It was raised again.',
    }
    const link = aLink()
    await link.opens()
    link.says(whenAsked(raisedAgain, refused(409, 'earlierOccurrence')))
    await link.presses()
    expect([link.seen.value, link.done.value, link.trouble.value]).toEqual([raisedAgain, null, null])
  })

  test.each(['badLink', 'oldLink'])('%s: nothing is asked any more', async (code) => {
    const link = aLink()
    link.says(() => refused(code === 'badLink' ? 403 : 410, code))
    await link.opens()
    expect(link.refusal.value?.code).toBe(code)
    await link.waits(60_000)
    expect(link.asked).toEqual(['look'])
  })

  test('a link without its key asks nobody', async () => {
    const link = aLink({ key: '' })
    await link.opens()
    await link.waits(60_000)
    expect([link.asked, link.refusal.value?.code]).toEqual([[], 'badLink'])
  })
})

describe('a link that acts at once', () => {
  test('acknowledges as soon as it is open, and loses its `now` so that a reload does not', async () => {
    const link = aLink({ atOnce: true })
    link.says(whenAsked(standing, acknowledged))
    await link.opens()
    await link.waits(1000)
    expect([link.asked, link.done.value, link.dropped()]).toEqual([
      ['look', '/acknowledge'],
      'acknowledge',
      1,
    ])
  })

  test('acts only in view: a tab in the background or fetched ahead has been seen by nobody', async () => {
    const link = aLink({ atOnce: true })
    link.says(whenAsked(standing, acknowledged))
    await link.opens(false)
    await link.waits(600_000, false)
    expect(link.asked).toEqual([])
    await link.waits(1000)
    expect(link.done.value).toBe('acknowledge')
  })

  test('says who was quicker, and acknowledges nothing over them', async () => {
    const link = aLink({ atOnce: true })
    link.says(whenAsked(byBela, acknowledged))
    await link.opens()
    await link.waits(2000)
    expect([link.asked, link.seen.value, link.done.value]).toEqual([['look'], byBela, null])
  })

  test('opened without a network it says that nobody knows, and acknowledges when the network is there', async () => {
    const link = aLink({ atOnce: true })
    link.says(() => silence)
    await link.opens()
    expect([link.seen.value, link.trouble.value]).toEqual([null, { problem: silence, isPress: true }])
    link.says(whenAsked(standing, acknowledged))
    await link.waits(6000)
    expect(link.done.value).toBe('acknowledge')
  })

  test('of a test says that it rang, and asks no more: the thanks stay', async () => {
    const thanks = { ...test_, sentence: 'Thank you: it is noted that this rings.' }
    const link = aLink({ atOnce: true })
    link.says(whenAsked(test_, thanks))
    await link.opens()
    await link.waits(60_000)
    expect([link.asked, link.seen.value, link.done.value]).toEqual([['look', '/rang'], thanks, 'rang'])
  })
})

test('whatever the network does, a press is either through or in trouble, and never asked for more than each 5 s', async () => {
  const replies = fc.array(fc.constantFrom<Reply>(silence, refused(429, 'tooManyTries'), standing), {
    maxLength: 12,
  })
  await fc.assert(
    fc.asyncProperty(replies, async (before) => {
      const link = aLink()
      await link.opens()
      const queue = [...before]
      link.says((path) => {
        const reply = queue.shift() ?? acknowledged
        return path.endsWith('/acknowledge') && reply === standing ? acknowledged : reply
      })
      await link.presses()
      for (let s = 0; s < 100; s += 1) {
        expect(link.done.value !== null || link.trouble.value?.isPress === true).toBe(true)
        if (link.done.value !== null) break
        const asked = link.asked.length
        await link.waits(4000)
        expect(link.asked.length - asked).toBeLessThanOrEqual(1)
      }
      expect(link.done.value).toBe('acknowledge')
    }),
    { numRuns: 50 },
  )
})

describe('the link itself', () => {
  test('its key is read out of the address, percent-encoded or not', () => {
    expect([keyIn('#eyJh.bWFj'), keyIn('#eyJh%2EbWFj'), keyIn('#%zz'), keyIn('#'), keyIn('')]).toEqual([
      'eyJh.bWFj',
      'eyJh.bWFj',
      '%zz',
      '',
      '',
    ])
    expect([isAtOnce('?now'), isAtOnce('?now=1'), isAtOnce(''), isAtOnce('?nowhere')]).toEqual([
      true,
      true,
      false,
      false,
    ])
  })

  test('durations follow the daemon’s clock, not that of a phone which is wrong (RFC 9110 §6.6.1)', async () => {
    const answers = [{ date: 'Wed, 13 Jan 2027 02:07:00 GMT' }, {}, { date: 'yesterday' }]
    const clock = daemonClock(
      async () => new Response('', { headers: answers.shift() ?? {} }),
      () => 5_000_000,
    )
    expect(clock.now()).toBe(5_000_000)
    await clock.fetch('/')
    const told = Date.parse('2027-01-13T02:07:00Z')
    expect(clock.now()).toBe(told)
    await clock.fetch('/')
    await clock.fetch('/')
    expect(clock.now()).toBe(told)
  })
})
