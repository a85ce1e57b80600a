import { describe, expect, test } from 'vitest'
import { instant, later } from '../../schemas/amounts.ts'
import type { LiveEvent, Tonight, ValueNow } from '../../schemas/api.ts'
import type { Role } from '../../schemas/person.ts'
import type { Answer } from '../../web/page/ask.ts'
import type { Stream } from '../../web/page/live.ts'
import { createPage } from '../../web/page/page.ts'
import { inventedTruth } from '../support/web-fixture-curves.ts'
import { inventedHousehold } from '../support/web-fixture-house.ts'
import { sceneAlarms, sceneTonight } from '../support/web-fixture-scene.ts'

const now = instant(Date.parse('2027-01-13T03:07:00+01:00'))
const house = inventedHousehold(now)
const before = sceneTonight('safe', house, sceneAlarms('safe', now), new Map(), inventedTruth(null), now)
const place = before.places.find((one) => one.values.length > 0)
const [value] = place?.values ?? []
if (place === undefined || value === undefined) throw new Error('the scene has no value')

type Asked = (path: string, method: string) => Answer<unknown> | undefined

/** A page whose questions about Tonight are answered by hand, in any order; `given` answers before all else. */
function aPage(role: Role = 'keeper', given: Asked = () => undefined) {
  const waiting: ((tonight: Tonight, keptAt?: number) => void)[] = []
  const listeners = new Map<string, (event: { data: string }) => void>()
  const asked: string[] = []
  let forgotten = 0
  const page = createPage({
    ask: async <T>(method: string, path: string): Promise<Answer<T>> => {
      asked.push(path)
      const ok = (value: unknown): Answer<T> => ({ ok: true, value: value as T })
      const answer = given(path, method)
      if (answer !== undefined) return answer as Answer<T>
      if (path === '/api/me') return ok({ person: { id: 'ada', name: 'Ada', role } })
      if (path === '/api/household') return ok(house)
      if (path === '/api/practice') return ok({ running: false, offered: false })
      if (path !== '/api/tonight') return ok({})
      return new Promise((resolve) =>
        waiting.push((tonight, keptAt) =>
          resolve({ ...ok(tonight), ...(keptAt === undefined ? {} : { keptAt }) }),
        ),
      )
    },
    now: () => now,
    openStream: (): Stream => ({
      readyState: 1,
      close: () => {},
      addEventListener: (name: string, listener: unknown) => listeners.set(name, listener as never),
    }),
    later: (run, ms) => (ms < 1000 ? run() : undefined), // nothing here is late
    locale: 'en',
    route: { path: { value: '/' } } as never,
    forgetKept: () => (forgotten += 1),
  })
  const settle = () => new Promise((resolve) => setImmediate(resolve))
  const hear = (event: LiveEvent) => listeners.get(event.kind)?.({ data: JSON.stringify(event) })
  return {
    page,
    asked,
    settle,
    hear,
    forgotten: () => forgotten,
    answer: async (n: number, tonight: Tonight, keptAt?: number) => {
      waiting[n]?.(tonight, keptAt)
      await settle()
    },
    hearValue: (degrees: number) =>
      hear({
        kind: 'value',
        place: place?.id ?? null,
        value: { ...(value as ValueNow), value: degrees, at: later((value as ValueNow).at, 1000) },
      }),
    shown: () => page.tonight.value?.places.find((one) => one.id === place?.id)?.values[0]?.value,
    async begins(keptAt?: number) {
      const entering = page.enter()
      await settle()
      waiting[0]?.(before, keptAt)
      await entering
    },
  }
}

test('a value heard while an answer was on its way is not overwritten by that answer', async () => {
  const { page, answer, hearValue, shown, begins } = aPage()
  await begins()
  void page.refresh()
  hearValue(4.75)
  expect(shown()).toBe(4.75)
  await answer(1, before)
  expect(shown()).toBe(4.75)
})

test('an answer that comes after the answer to a later question is old news', async () => {
  const { page, answer, begins } = aPage()
  await begins()
  void page.refresh()
  void page.refresh()
  await answer(2, { ...before, sentence: 'The later one.' })
  await answer(1, { ...before, sentence: 'The earlier one.' })
  expect(page.tonight.value?.sentence).toBe('The later one.')
})

describe('without the daemon', () => {
  const lost: Answer<unknown> = {
    ok: false,
    problem: { type: 'about:blank', title: 'x', status: 0, code: 'unreachable' },
  }
  const hourAgo = now - 3_600_000

  test('N1: a page that opens on its memory shows the last known state, and is loud at once', async () => {
    const { page, begins } = aPage('keeper', (path) => (path === '/api/me' ? lost : undefined))
    await begins(hourAgo)
    expect(page.door.value).toBe('in')
    expect(page.tonight.value?.sentence).toBe(before.sentence)
    expect(page.live.isLost.value).toBe(true)
    // The age of what is shown is counted from when it was kept, by this browser's clock
    expect(page.now.value - (page.heardAt.value ?? 0)).toBe(3_600_000)
  })

  test('N1: it stays loud until a question is answered, and then asks who this is', async () => {
    let isBack = false
    const { page, answer, begins, asked, hearValue } = aPage('keeper', (path) =>
      path === '/api/me' && !isBack ? lost : undefined,
    )
    await begins(hourAgo)
    hearValue(4.75)
    expect(page.live.isLost.value).toBe(true)
    expect(page.person.value).toBeNull()
    isBack = true
    void page.refresh()
    await answer(1, before)
    expect(page.live.isLost.value).toBe(false)
    expect(page.person.value?.name).toBe('Ada')
    expect(asked).toContain('/api/telling')
  })

  test('N1: a kept answer never replaces what the page has heard itself', async () => {
    const { page, answer, begins } = aPage()
    await begins()
    void page.refresh()
    await answer(1, { ...before, sentence: 'An old one.' }, hourAgo)
    expect(page.tonight.value?.sentence).toBe(before.sentence)
  })

  test('with nothing kept it says that Brumal does not answer', async () => {
    const { page } = aPage('keeper', () => lost)
    await page.enter()
    expect(page.door.value).toBe('unreachable')
  })
})

describe('who may see what', () => {
  test('X1: signing out forgets what this browser keeps, and so does a sign-in that has ended', async () => {
    const { page, begins, forgotten } = aPage()
    await begins()
    expect(forgotten()).toBe(0)
    await page.leave()
    expect([forgotten(), page.tonight.value, page.telling.now.value]).toEqual([1, null, null])

    const problem = { type: 'about:blank', title: 'x', status: 401, code: 'signInNeeded' }
    const ended = aPage('keeper', (path) =>
      path === '/api/me'
        ? { ok: false, problem }
        : path === '/api/door'
          ? { ok: true, value: { setUpNeeded: false } }
          : undefined,
    )
    await ended.page.enter()
    expect([ended.page.door.value, ended.forgotten()]).toEqual(['signedOut', 1])
  })

  test('X1: who is told is asked for a keeper alone, again with each message that came to something', async () => {
    const line = { id: 1, at: now, by: 'brumal' }
    const told = { kind: 'journal', line: { ...line, kind: 'told' } } as const
    const opened = { kind: 'journal', line: { ...line, kind: 'tending' } } as const
    for (const [role, times] of [
      ['keeper', 2],
      ['sitter', 0],
    ] as const) {
      const { begins, asked, hear, settle } = aPage(role)
      await begins()
      hear(opened)
      hear(told)
      await settle()
      expect([role, asked.filter((path) => path === '/api/telling').length]).toEqual([role, times])
    }
  })
})
