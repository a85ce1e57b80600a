import { render } from 'preact'
import { App } from './app.tsx'
import { createAsk } from './page/ask.ts'
import { createPage } from './page/page.ts'
import { createRoute } from './page/route.ts'
import { PageContext } from './page/use-page.ts'

const page = createPage({
  ask: createAsk((...request) => fetch(...request)),
  now: () => Date.now(),
  openStream: () => new EventSource('/api/live'),
  later: (run, ms) => setTimeout(run, ms),
  locale: navigator.language,
  route: createRoute(window),
})

setInterval(() => page.tick(), 1000)
document.addEventListener('visibilitychange', () => {
  if (document.visibilityState === 'visible' && page.door.value === 'in') void page.refresh()
})
void page.enter()

const app = document.getElementById('app')
if (app === null) throw new Error('the page has no place to draw in')
render(
  <PageContext.Provider value={page}>
    <App />
  </PageContext.Provider>,
  app,
)
