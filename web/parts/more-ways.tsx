import { useSignal } from '@preact/signals'
import { useEffect, useRef } from 'preact/hooks'
import { usePage } from '../page/use-page.ts'
import { Link } from './link.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from './say-with.ts'

/** The ways that a narrow window has no room for, behind one button; where there is room they stand without it. */
export function MoreWays({
  screens,
  current,
}: {
  screens: readonly { readonly path: string; readonly name: string }[]
  current: string
}) {
  const { route } = usePage()
  const isOpen = useSignal(false)
  const here = useRef<HTMLDivElement>(null)
  const button = useRef<HTMLButtonElement>(null)
  const chosen = screens.find((screen) => screen.path === current)

  useEffect(() => {
    isOpen.value = false
  }, [route.path.value])
  useEffect(() => {
    if (!isOpen.value) return
    const onPress = (event: Event): void => {
      if (event.target instanceof Node && here.current?.contains(event.target) !== true) isOpen.value = false
    }
    document.addEventListener('pointerdown', onPress)
    return () => document.removeEventListener('pointerdown', onPress)
  }, [isOpen.value])

  return (
    <div
      ref={here}
      class="ways-rest"
      onKeyDown={(event) => {
        if (event.key !== 'Escape' || !isOpen.value) return
        isOpen.value = false
        button.current?.focus()
      }}
      onFocusOut={(event) => {
        const to = event.relatedTarget
        // With nothing focused next the press came from outside, or the window lost the focus
        if (to instanceof Node && here.current?.contains(to) !== true) isOpen.value = false
      }}
    >
      <button
        ref={button}
        type="button"
        class={`way way-more ${chosen === undefined ? '' : 'is-current'}`}
        aria-expanded={isOpen.value}
        aria-controls="more-ways"
        onClick={() => (isOpen.value = !isOpen.value)}
      >
        {sayWith('More{part}', {
          part: chosen !== undefined && (
            <span class="unseen">{say(' (now at {chosen})', { chosen: chosen.name })}</span>
          ),
        })}
      </button>
      <div id="more-ways" class={isOpen.value ? 'ways-sheet is-open' : 'ways-sheet'}>
        {screens.map((screen) => (
          <Link key={screen.path} to={screen.path} class="way" current={screen.path === current}>
            {screen.name}
          </Link>
        ))}
      </div>
    </div>
  )
}
