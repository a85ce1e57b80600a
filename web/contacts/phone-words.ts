import { say } from '../../shared/words/say.ts'

/** Why a browser cannot be rung, or not yet. */
export type Hurdle = 'insecure' | 'homeScreen' | 'noPush' | 'refused' | 'dismissed' | 'noWorker' | 'noService'

/** What is in the way, and what can be done about it. Browsers' own rules, as of 2026; no source but use. */
export const hurdleWords: Record<Hurdle, { readonly what: string; readonly advice: readonly string[] }> = {
  insecure: {
    what: say('This page was opened over plain http. A phone lets a page ring it only over https.'),
    advice: [
      say('Two ways to https stand in the README under “Ring a phone”.'),
      say('A push relay or mail works without.'),
    ],
  },
  homeScreen: {
    what: say('An iPhone or iPad lets a page ring only from the home screen.'),
    advice: [
      say(
        'Press Share, then Add to Home Screen. Open Brumal from there, sign in, and press Ring this phone.',
      ),
      say('It needs iOS or iPadOS 16.4 or later.'),
    ],
  },
  noPush: {
    what: say('This browser cannot be rung: it knows no Web Push.'),
    advice: [say('Use another browser, a push relay or mail.')],
  },
  refused: {
    what: say('This browser has been told not to let this page notify you.'),
    advice: [
      say('Press the sign beside the address, allow notifications for this page, and load it again.'),
      say('Where Brumal is on the home screen: allow it in the phone’s settings, under notifications.'),
    ],
  },
  dismissed: {
    what: say('The browser’s question was closed without an answer.'),
    advice: [say('Press Ring this phone once more, and allow notifications.')],
  },
  noWorker: {
    what: say('The part of this page that rings could not be started.'),
    advice: [
      say('Load the page again.'),
      say(
        'A browser also refuses it where it does not trust the certificate of this page, even if you have let it pass.',
      ),
    ],
  },
  noService: {
    what: say('The push service of this browser gave no address.'),
    advice: [
      say('See that the phone is online and that this is no private window, and press again.'),
      say('A browser without its maker’s push service cannot be rung: use a push relay or mail.'),
    ],
  },
}

/** A name to begin with, out of what the browser says of itself. */
export function phoneName(userAgent: string): string {
  if (/iPhone/.test(userAgent)) return 'iPhone'
  if (/iPad/.test(userAgent)) return 'iPad'
  if (/Android/.test(userAgent))
    return /Mobile/.test(userAgent) ? say('Android phone') : say('Android tablet')
  const browser = /Firefox/.test(userAgent)
    ? say('Firefox')
    : /Edg\//.test(userAgent)
      ? say('Edge')
      : /Chrome/.test(userAgent)
        ? say('Chrome')
        : /Safari/.test(userAgent)
          ? say('Safari')
          : say('Browser')
  const system = /Windows/.test(userAgent)
    ? say(' on Windows')
    : /Macintosh/.test(userAgent)
      ? say(' on a Mac')
      : /Linux/.test(userAgent)
        ? say(' on Linux')
        : ''
  return browser + system
}
