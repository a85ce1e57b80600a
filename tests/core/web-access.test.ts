import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { days, hours, minutes } from '../../schemas/amounts.ts'
import { agentWords } from '../../web/access/agent-words.ts'
import { lastsWords, usedWords } from '../../web/access/seen-words.ts'
import { shelfMinutesUpTo } from '../../web/alarms/shelf-minutes.ts'

describe('who is signed in, in words', () => {
  // The first two are shaped as RFC 9110 §10.1.5 and common practice have it; cut at 120 signs as the daemon keeps them
  test.each([
    [
      'Mozilla/5.0 (Linux; Android 14; K) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/131.0.0.0 Mobile Safari/537.36',
      'Chrome on Android',
    ],
    [
      'Mozilla/5.0 (iPhone; CPU iPhone OS 17_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/17.5 Mobile/15E148 Safari/604.1',
      'Safari on iPhone',
    ],
    [
      'Mozilla/5.0 (iPhone; CPU iPhone OS 17_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) FxiOS/133.0 Mobile/15E148 Safari/604.1',
      'Firefox on iPhone',
    ],
    ['Mozilla/5.0 (X11; Linux x86_64; rv:133.0) Gecko/20100101 Firefox/133.0', 'Firefox on Linux'],
    [
      'Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/131.0.0.0 Safari/537.36 Edg/131.0.0.0',
      'Edge on Windows',
    ],
    [
      'Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/17.5 Safari/605.1.15',
      'Safari on Mac',
    ],
    ['Mozilla/5.0 (X11; CrOS x86_64 14541.0.0) AppleWebKit/537.36 Chrome/131.0.0.0', 'Chrome on ChromeOS'],
    ['Mozilla/5.0 (iPhone; CPU iPhone OS 17_5 like Mac OS X) AppleWebKit/605.1.15', 'A browser on iPhone'],
    ['curl/8.5.0', 'curl'],
    ['', 'A browser that gives no name'],
  ])('%s is %s', (agent, words) => {
    expect(agentWords(agent.slice(0, 120))).toBe(words)
  })

  test('whatever a browser calls itself, a few words come out, and none of them is long', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 120 }), (agent) => {
        const words = agentWords(agent)
        expect(words.length).toBeGreaterThan(1)
        expect(words.length).toBeLessThanOrEqual(36)
      }),
    )
  })

  test('use is written down at most hourly, so nothing finer is claimed', () => {
    expect(usedWords(0)).toBe('used within the hour')
    expect(usedWords(hours(1) - 1)).toBe('used within the hour')
    expect(usedWords(hours(1))).toBe('last used 1 h ago')
    expect(usedWords(-minutes(3))).toBe('used within the hour')
    expect(usedWords(hours(47))).toBe('last used 47 h ago')
    expect(usedWords(hours(48))).toBe('last used 2 d ago')
    expect(lastsWords(days(6) - minutes(1))).toBe('for 6 d more')
    expect(lastsWords(1)).toBe('for 1 h more')
    expect(lastsWords(0)).toBe('over')
  })
})

test('no length of shelf is offered that is longer than the daemon allows (A2)', () => {
  expect(shelfMinutesUpTo(hours(1))).toEqual([15, 30, 60])
  expect(shelfMinutesUpTo(hours(1) - 1)).toEqual([15, 30])
  fc.assert(
    fc.property(fc.integer({ min: 0, max: hours(9) }), (longest) => {
      for (const min of shelfMinutesUpTo(longest)) expect(minutes(min)).toBeLessThanOrEqual(longest)
    }),
  )
})
