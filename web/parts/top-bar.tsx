import { Moon } from '../moon/moon.tsx'
import { usePage } from '../page/use-page.ts'
import { isUnanswered } from '../words/alarm-words.ts'
import { worstOf } from '../words/worst-of.ts'
import { Link } from './link.tsx'

const screens = [
  { path: '/', name: 'Tonight' },
  { path: '/winter', name: 'Winter' },
  { path: '/alarms', name: 'Alarms' },
  { path: '/contacts', name: 'Contacts' },
  { path: '/set-up', name: 'Set-up' },
] as const

/** Whose house this is, the way to the screens, and the way out. */
export function TopBar() {
  const page = usePage()
  const path = page.route.path.value
  const unanswered = page.tonight.value?.alarms.filter(isUnanswered) ?? []
  const worst = worstOf(unanswered)
  const current = screens.some((screen) => screen.path === path) ? path : '/'
  return (
    <header class="top">
      <p class="wordmark">
        Brumal <span class="soft">{page.tonight.value?.household}</span>
      </p>
      <nav class="ways" aria-label="Screens">
        {screens.map((screen) => (
          <Link key={screen.path} to={screen.path} class="way" current={screen.path === current}>
            {screen.name}
            {screen.path === '/alarms' && worst !== null && (
              <span class={`way-count sign-${worst}`}>
                <Moon priority={worst} />
                {unanswered.length}
                <span class="unseen"> unanswered</span>
              </span>
            )}
          </Link>
        ))}
      </nav>
      <button type="button" class="quiet leave" onClick={() => void page.leave()}>
        Sign out
      </button>
    </header>
  )
}
