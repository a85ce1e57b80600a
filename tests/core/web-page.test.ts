import { expect, test } from 'vitest'
import { instant } from '../../schemas/amounts.ts'
import type { Tonight } from '../../schemas/api.ts'
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

/** A page whose questions about Tonight are answered by hand, in any order. */
function aPage() {
  const waiting: ((tonight: Tonight) => void)[] = []
  const listeners = new Map<string, (event: { data: string }) => void>()
  const page = createPage({
    ask: async <T>(_method: string, path: string): Promise<Answer<T>> => {
      const ok = (given: unknown): Answer<T> => ({ ok: true, value: given as T })
      if (path === '/api/me') return ok({ person: { id: 'ada', name: 'Ada', role: 'keeper' } })
      if (path === '/api/household') return ok(house)
      if (path === '/api/practice') return ok({ running: false, offered: false })
      return new Promise((resolve) => waiting.push((tonight) => resolve(ok(tonight))))
    },
    now: () => now,
    openStream: (): Stream => ({
      readyState: 1,
      close: () => {},
      addEventListener: (name: string, listener: unknown) => listeners.set(name, listener as never),
    }),
    later: () => {},
    locale: 'en',
    route: { path: { value: '/' } } as never,
  })
  const settle = () => new Promise((resolve) => setImmediate(resolve))
  return {
    page,
    answer: async (n: number, tonight: Tonight) => {
      waiting[n]?.(tonight)
      await settle()
    },
    hear: (degrees: number) =>
      listeners.get('value')?.({
        data: JSON.stringify({
          kind: 'value',
          place: place?.id,
          value: { ...value, value: degrees, at: (value?.at ?? 0) + 1000 },
        }),
      }),
    shown: () => page.tonight.value?.places.find((one) => one.id === place?.id)?.values[0]?.value,
    async begins() {
      const entering = page.enter()
      await settle()
      waiting[0]?.(before)
      await entering
    },
  }
}

test('a value heard while an answer was on its way is not overwritten by that answer', async () => {
  const { page, answer, hear, shown, begins } = aPage()
  await begins()
  void page.refresh()
  hear(4.75)
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
