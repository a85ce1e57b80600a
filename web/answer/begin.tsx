import { render } from 'preact'
import { readAs } from '../../shared/words/reader.ts'
import { createAsk } from '../page/ask.ts'
import { readerHere } from '../page/preferences.ts'
import { AnswerPage } from './answer-page.tsx'
import { createAnswering } from './answering.ts'
import { daemonClock } from './daemon-clock.ts'
import { isAtOnce, keyIn } from './link.ts'

/** Draws the page behind a message's link. It works without a sign-in, by the key in the link alone. */
export function beginAnswer(app: HTMLElement): void {
  readAs(readerHere(navigator.language))
  const clock = daemonClock(
    (...request) => fetch(...request),
    () => Date.now(),
  )
  const answering = createAnswering({
    ask: createAsk(clock.fetch),
    key: keyIn(location.hash),
    atOnce: isAtOnce(location.search),
    now: () => performance.now(),
    daemonNow: clock.now,
    onPressed: forgetNow,
  })
  const beat = (): void => answering.tick(document.visibilityState === 'visible')
  beat()
  setInterval(beat, 1000)
  document.addEventListener('visibilitychange', beat)
  // The same page opened by the link of a later message: only what follows # may differ, which loads nothing by itself
  window.addEventListener('hashchange', () => location.reload())
  render(<AnswerPage answering={answering} />, app)
}

/**
 * The key stays behind the #: whoever loads the page again still sees how things stand, and what is there is sent to no
 * server and in no Referer (RFC 9110 §10.1.3). In this phone's history it is worth no more than in the message that it
 * came with, for a day. Only `?now` goes, so that a tab that is restored hours later presses nothing.
 */
function forgetNow(): void {
  history.replaceState(null, '', `${location.pathname}${location.hash}`)
}
