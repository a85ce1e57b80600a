import { usePage } from '../page/use-page.ts'
import { Screen } from '../parts/screen.tsx'
import { FirstSetUp } from './first-set-up.tsx'
import { SignIn } from './sign-in.tsx'

/** What stands before the dashboard: nothing is shown to whom it does not know. */
export function Entrance() {
  const page = usePage()
  const door = page.door.value
  return (
    <>
      <header class="top">
        <p class="wordmark">Brumal</p>
      </header>
      {door === 'setUp' && <FirstSetUp />}
      {door === 'signedOut' && <SignIn />}
      {door === 'unreachable' && (
        <Screen title="No answer" heading="Brumal does not answer">
          <p class="lead">
            The page came from this browser's memory, or the daemon stopped a moment ago. Check that the
            machine is on and in the same network.
          </p>
          <button type="button" class="strong" onClick={() => void page.enter()}>
            Try again
          </button>
        </Screen>
      )}
      {door === 'asking' && (
        <main class="screen">
          <p class="soft">Asking Brumal …</p>
        </main>
      )}
    </>
  )
}
