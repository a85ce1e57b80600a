import { signal } from '@preact/signals'
import type { FunctionComponent } from 'preact'
import { useEffect } from 'preact/hooks'
import { say } from '../../shared/words/say.ts'
import { Screen } from './screen.tsx'
import { type SkeletonShape, WaitingScreen } from './skeleton.tsx'

/** A screen whose code is fetched when it is first wanted, so that Tonight need not wait for it. */
export function fetchedLater<Props extends object>(
  title: string,
  fetchScreen: () => Promise<FunctionComponent<Props>>,
  shape: SkeletonShape = 'lines',
): FunctionComponent<Props> {
  const fetched = signal<FunctionComponent<Props> | 'failed' | null>(null)
  const begin = (): void =>
    void fetchScreen().then(
      (screen) => (fetched.value = screen),
      () => (fetched.value = 'failed'), // no network, or Brumal was renewed under this page
    )

  return function FetchedLater(props: Props) {
    useEffect(() => {
      if (typeof fetched.value !== 'function') begin()
    }, [])
    const Fetched = fetched.value
    if (typeof Fetched === 'function') return <Fetched {...props} />
    // No heading yet: the focus waits at the link for the screen's own
    if (Fetched === null) return <WaitingScreen title={title} shape={shape} />
    return (
      <Screen title={title} heading={title}>
        <p class="lead">{say('This part of the page could not be fetched.')}</p>
        <button type="button" class="strong" onClick={() => location.reload()}>
          {say('Load the page again')}
        </button>
      </Screen>
    )
  }
}
