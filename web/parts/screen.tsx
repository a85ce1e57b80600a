import type { ComponentChildren } from 'preact'
import { useEffect, useRef } from 'preact/hooks'
import { cautions } from '../../shared/telling/first-thing.ts'
import { usePage } from '../page/use-page.ts'
import { isUnanswered } from '../words/alarm-words.ts'
import { say } from '../../shared/words/say.ts'

/** A screen's main part. Sets the title, and takes the focus to the heading when the reader came by a link. */
export function Screen({
  title,
  heading,
  children,
}: {
  title: string
  heading: ComponentChildren
  children: ComponentChildren
}) {
  const head = useRef<HTMLHeadingElement>(null)
  const { route, tonight } = usePage()
  const unanswered = tonight.value?.alarms.filter(isUnanswered).length ?? 0
  useEffect(() => {
    const alarms =
      unanswered === 0
        ? ''
        : unanswered === 1
          ? say('1 alarm · ')
          : say('{unanswered} alarms · ', { unanswered })
    document.title = say('{alarms}{title} · Brumal', { alarms, title })
  }, [title, unanswered])
  useEffect(() => {
    // A link on the screen that was left is gone, and the focus with it
    const isLost = document.activeElement === document.body && route.coming.by !== 'opening'
    if (isLost || document.activeElement instanceof HTMLAnchorElement) head.current?.focus()
  }, [])
  return (
    <main class="screen">
      <h1 ref={head} tabIndex={-1}>
        {heading}
      </h1>
      {children}
      <p class="caution">{cautions}</p>
    </main>
  )
}
