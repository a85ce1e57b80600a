import { render } from 'preact'
import { readAs, reader } from '../shared/words/reader.ts'
import { App } from './app.tsx'
import { createAsk } from './page/ask.ts'
import { attendWorker } from './page/attend-worker.ts'
import { forgetKept } from './page/kept.ts'
import { createPage } from './page/page.ts'
import { readerHere } from './page/preferences.ts'
import { createRoute } from './page/route.ts'
import { PageContext } from './page/use-page.ts'

/** Draws the dashboard, and the doors before it. */
export function beginDashboard(app: HTMLElement): void {
  readAs(readerHere(navigator.language))
  const page = createPage({
    ask: createAsk((...request) => fetch(...request)),
    now: () => Date.now(),
    openStream: () => new EventSource('/api/live'),
    later: (run, ms) => setTimeout(run, ms),
    locale: reader().locale,
    route: createRoute(window),
    forgetKept,
  })

  setInterval(() => page.tick(), 1000)
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible' && page.door.value === 'in') void page.refresh()
  })
  attendWorker(page, page.enter())

  render(
    <PageContext.Provider value={page}>
      <App />
    </PageContext.Provider>,
    app,
  )
}
