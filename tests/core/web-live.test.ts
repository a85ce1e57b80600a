import { describe, expect, test } from 'vitest'
import type { LiveEvent } from '../../schemas/api.ts'
import { createLive, type Stream } from '../../web/page/live.ts'

/** A browser's clock and stream, moved by hand. */
function world() {
  let now = 1_000_000
  let asked = 0
  let opened = 0
  let returns = 0
  let listeners = new Map<string, (event: Event) => void>()
  const heard: LiveEvent[] = []
  const live = createLive({
    now: () => now,
    askAnew: () => {
      asked += 1
    },
    onReturn: () => {
      returns += 1
    },
    onEvent: (event) => heard.push(event),
    openStream: (): Stream => {
      opened += 1
      listeners = new Map()
      return {
        readyState: 1,
        close: () => {},
        addEventListener: (name: string, listener: unknown) => {
          listeners.set(name, listener as (event: Event) => void)
        },
      }
    },
  })
  return {
    live,
    heard,
    asked: () => asked,
    opened: () => opened,
    returns: () => returns,
    say: (name: string, data?: object) =>
      listeners.get(name)?.({ data: JSON.stringify(data ?? {}) } as unknown as Event),
    /** Lets seconds pass, with the tick of each. */
    pass(seconds: number) {
      for (let i = 0; i < seconds; i += 1) {
        now += 1000
        live.tick()
      }
    },
  }
}

describe('the page notices that it hears nothing (N1)', () => {
  test('values keep it quiet for as long as they come', () => {
    const { live, say, pass, asked } = world()
    live.open()
    say('open')
    const before = asked()
    for (let i = 0; i < 30; i += 1) {
      pass(20)
      say('tonight', { kind: 'tonight' })
      expect(live.isLost.value).toBe(false)
    }
    expect(asked()).toBe(before)
  })

  test('a silent stream is asked about after 25 s, and an answer keeps it quiet', () => {
    const { live, say, pass, asked } = world()
    live.open()
    say('open')
    const before = asked()
    pass(24)
    expect(asked()).toBe(before)
    pass(1)
    expect(asked()).toBe(before + 1)
    live.noteHeard()
    pass(24)
    expect(live.isLost.value).toBe(false)
  })

  test('a stream that dies without an error turns the page loud after 60 s at the latest', () => {
    const { live, say, pass } = world()
    live.open()
    say('open')
    pass(60)
    expect(live.isLost.value).toBe(false)
    pass(1)
    expect(live.isLost.value).toBe(true)
  })

  test('a broken stream turns it loud after 10 s without any answer, not before', () => {
    const { live, say, pass } = world()
    live.open()
    say('open')
    say('error')
    pass(10)
    expect(live.isLost.value).toBe(false)
    pass(1)
    expect(live.isLost.value).toBe(true)
  })

  test('an unanswered question after long silence turns it loud at once', () => {
    const { live, say, pass } = world()
    live.open()
    say('open')
    pass(25)
    live.noteBroken()
    pass(1)
    expect(live.isLost.value).toBe(true)
  })

  test('a stream refused for ever is made good by asking every few seconds', () => {
    const { live, say, pass } = world()
    live.open()
    say('open')
    say('error')
    for (let i = 0; i < 20; i += 1) {
      pass(4)
      say('error')
      live.noteHeard() // what asking gave
      expect(live.isLost.value).toBe(false)
    }
  })

  test('a lost page opens the stream again, and its return is told once', () => {
    const { live, say, pass, opened, returns } = world()
    live.open()
    say('open')
    expect(returns()).toBe(0)
    say('error')
    pass(12)
    expect(opened()).toBeGreaterThan(1)
    say('open')
    expect(returns()).toBe(1)
    expect(live.isLost.value).toBe(false)
  })

  test('before anything was heard it claims no silence, and after closing it asks nothing', () => {
    const { live, pass, asked } = world()
    pass(100)
    expect(live.isLost.value).toBe(false)
    live.open()
    live.close()
    const before = asked()
    pass(100)
    expect(asked()).toBe(before)
  })

  test('every kind of event reaches the page', () => {
    const { live, say, heard } = world()
    live.open()
    for (const kind of ['value', 'alarm', 'journal', 'broker', 'source', 'tonight']) say(kind, { kind })
    expect(heard.map((event) => event.kind)).toEqual([
      'value',
      'alarm',
      'journal',
      'broker',
      'source',
      'tonight',
    ])
  })
})
