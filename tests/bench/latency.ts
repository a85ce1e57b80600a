import { startDaemon } from '../support/daemon.ts'
import { percentile, report } from './report.ts'

/** From the call that publishes to the alarm's event on `/api/live`, with a limit that has no delay and no deadband. */
export async function alarmLatency(n: number): Promise<void> {
  const daemon = await startDaemon()
  try {
    const none = { for: 0, clearFor: 0, deadband: 0 }
    await daemon.call('PUT', '/api/places/box', {
      id: 'box',
      name: 'Box',
      kind: 'box',
      ownLimits: [{ quantity: 'temperature', limit: 'low', value: 3, ...none }],
    })
    await daemon.call('PUT', '/api/sensors/probe', {
      id: 'probe',
      name: 'Probe',
      place: 'box',
      topic: 'brumal/in/probe',
    })
    const live = await fetch(`${daemon.url}/api/live`, { headers: { cookie: daemon.cookie() } })
    const reader = live.body?.getReader()
    if (reader === undefined) throw new Error('the live stream has no body')
    let heard = () => {}
    const decoder = new TextDecoder()
    let text = ''
    void (async () => {
      for (;;) {
        const { value, done } = await reader.read()
        if (done) return
        text += decoder.decode(value, { stream: true })
        const ends = text.lastIndexOf('\n\n')
        if (ends < 0) continue
        if (text.slice(0, ends).includes('event: alarm')) heard()
        text = text.slice(ends + 2)
      }
    })()
    const times: number[] = []
    for (let i = 0; i < n + 20; i++) {
      const event = new Promise<void>((resolve) => {
        heard = resolve
      })
      const began = performance.now()
      void daemon.publish(
        'brumal/in/probe',
        `[{"n":"temperature","u":"Cel","v":${i % 2 === 0 ? 2 + i / 10_000 : 5 + i / 10_000}}]`,
      )
      await event
      // The first twenty warm the program up.
      if (i >= 20) times.push(performance.now() - began)
      await new Promise((resolve) => setTimeout(resolve, 10))
    }
    await reader.cancel()
    report('publish to alarm event on /api/live', 'ms', n, times)
    console.log(
      `   p50 ${percentile(times, 0.5).toFixed(2)} ms, p99 ${percentile(times, 0.99).toFixed(2)} ms (aim 25), worst ${Math.max(...times).toFixed(2)} ms, of ${times.length}`,
    )
  } finally {
    await daemon.stop()
  }
}
