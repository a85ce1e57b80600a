import { useEffect } from 'preact/hooks'
import { usePage } from '../page/use-page.ts'
import { type Answered, useAnswer } from '../parts/use-answer.ts'

/** Lets several events in a row cause one question, in ms: an import brings hundreds. */
const gatherMs = 250

/** The answer to `GET path`, asked anew whenever the diary or the household changes and after a break of the stream. */
export function useFollowed<T>(path: string): Answered<T> {
  const page = usePage()
  const answered = useAnswer<T>(path)
  useEffect(() => {
    let timer: ReturnType<typeof setTimeout> | null = null
    const soon = (): void => {
      timer ??= setTimeout(() => {
        timer = null
        answered.again()
      }, gatherMs)
    }
    // Every event is seen here, also those that come several in a frame; the first call is no event
    let isCalled = false
    const stops = [
      page.event.subscribe((event) => {
        if (isCalled && (event?.kind === 'diary' || event?.kind === 'tonight')) soon()
      }),
      page.returns.subscribe(() => {
        if (isCalled) soon()
      }),
    ]
    isCalled = true
    return () => {
      for (const stop of stops) stop()
      if (timer !== null) clearTimeout(timer)
    }
  }, [path])
  return answered
}
