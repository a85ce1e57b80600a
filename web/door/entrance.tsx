import { usePage } from '../page/use-page.ts'
import { fetchedLater } from '../parts/fetched-later.tsx'
import { Screen } from '../parts/screen.tsx'
import { SignIn } from './sign-in.tsx'
import { say } from '../../shared/words/say.ts'

/** What stands before the dashboard: nothing is shown to whom it does not know. */
export function Entrance() {
  const page = usePage()
  const door = page.door.value
  return (
    <>
      <header class="top">
        <p class="wordmark">{say('Brumal')}</p>
      </header>
      {door === 'setUp' && <FirstSetUp />}
      {door === 'signedOut' && <SignIn />}
      {door === 'unreachable' && (
        <Screen title={say('No answer')} heading={say('Brumal does not answer')}>
          <p class="lead">
            {say(
              "The page came from this browser's memory, or the daemon stopped a moment ago. Check that the machine is on and in the same network.",
            )}
          </p>
          <button type="button" class="strong" onClick={() => void page.enter()}>
            {say('Try again')}
          </button>
        </Screen>
      )}
      {door === 'asking' && (
        <main class="screen">
          <p class="soft">{say('Asking Brumal …')}</p>
        </main>
      )}
    </>
  )
}

/** Seen once in the life of a house. */
const FirstSetUp = fetchedLater(say('First start'), async () => {
  const { FirstSetUp } = await import('./first-set-up.tsx')
  return FirstSetUp
})
