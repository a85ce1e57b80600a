import type { Channel } from '../../schemas/contact.ts'
import { say } from '../../shared/words/say.ts'

/** What to look at when a test was sent and nothing rang. Common practice, no source. */
export const ringAdvice: Record<Channel['kind'], readonly string[]> = {
  push: [
    say('Is the phone online, and its sound on?'),
    say('Sleep or focus mode: let the browser, or Brumal on the home screen, break through it.'),
    say('Saving battery: take the browser out of it, or it sleeps too.'),
    say('In the browser’s settings for this page, notifications and their sound must be allowed.'),
  ],
  relay: [
    say('Does the relay’s app on the phone listen to this very topic?'),
    say('Its messages of priority 5 must be allowed to sound through sleep and silence.'),
    say('Saving battery: take the app out of it.'),
  ],
  mail: [
    say('Look among the unwanted mail, and mark it as wanted.'),
    say('Most mail programs do not sound at night: let mail from this sender do so, or add another channel.'),
  ],
  webhook: [
    say('Look into the log of the service: it took the message, and should say what became of it.'),
    say('Does its answer of success mean delivered, or only queued? Is there credit left?'),
  ],
}
