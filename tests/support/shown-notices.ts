import type { Worker } from 'playwright-core'
import { until } from './until.ts'

/** Global scope of the service worker, with what is noted in it. */
interface Noting {
  titles: string[]
  registration: { showNotification(title: string, options: object): Promise<void> }
}

/** From now on the worker notes the title of each notification once the browser has shown it. */
export const noteShown = (worker: Worker): Promise<void> =>
  worker.evaluate(() => {
    const scope = self as unknown as Noting
    const show = scope.registration.showNotification.bind(scope.registration)
    scope.titles = []
    scope.registration.showNotification = async (title, options) => {
      await show(title, options)
      scope.titles.push(title)
    }
  })

/**
 * Waits until the browser says that it has shown a notification of this title. Only then may it be asked for what it
 * shows: asked in the middle of showing, Chromium forgets about one notification in twenty-five, measured on a busy
 * machine, and never gives it back.
 */
export const hasShown = (worker: () => Worker, title: string): Promise<void> =>
  until(
    () => worker().evaluate((title) => (self as unknown as Noting).titles.includes(title), title),
    `“${title}” to be shown`,
    15_000,
  )
