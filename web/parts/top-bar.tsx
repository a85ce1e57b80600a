import { Moon } from '../moon/moon.tsx'
import { usePage } from '../page/use-page.ts'
import { isUnanswered } from '../words/alarm-words.ts'
import { worstOf } from '../words/worst-of.ts'
import { Link } from './link.tsx'
import { MoreWays } from './more-ways.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from './say-with.ts'

/** At the thumb of a phone at once; the others one press away there, beside these on a desk. */
const first = [
  { path: '/', name: say('Tonight') },
  { path: '/day', name: say('Day') },
  { path: '/animals', name: say('Animals') },
  { path: '/alarms', name: say('Alarms') },
] as const

const more = [
  { path: '/plan', name: say('Plan') },
  { path: '/winter', name: say('Winter') },
  { path: '/contacts', name: say('Contacts') },
  { path: '/set-up', name: say('Set-up') },
] as const

/** Whose house this is, the way to the screens, and the way out. */
export function TopBar() {
  const page = usePage()
  const unanswered = page.tonight.value?.alarms.filter(isUnanswered) ?? []
  const worst = worstOf(unanswered)
  const current = wayOf(page.route.path.value)
  return (
    <header class="top">
      <p class="wordmark">
        {sayWith('Brumal {soft}', { soft: <span class="soft">{page.tonight.value?.household}</span> })}
      </p>
      <nav class="ways" aria-label={say('Screens')}>
        {first.map((screen) => (
          <Link key={screen.path} to={screen.path} class="way" current={screen.path === current}>
            {screen.name}
            {screen.path === '/alarms' && worst !== null && (
              <span class={`way-count sign-${worst}`}>
                <Moon priority={worst} />
                {unanswered.length}
                <span class="unseen">{say(' unanswered')}</span>
              </span>
            )}
          </Link>
        ))}
        <MoreWays screens={more} current={current} />
      </nav>
      <button type="button" class="quiet leave" onClick={() => void page.leave()}>
        {say('Sign out')}
      </button>
    </header>
  )
}

/** Under which of the ways a path stands; a place's own page belongs to Tonight. */
function wayOf(path: string): string {
  const known = [...first, ...more].find((screen) => screen.path === path)
  if (known !== undefined) return known.path
  if (path === '/weigh' || path.startsWith('/animals/')) return '/animals'
  if (path.startsWith('/winter/') || path.startsWith('/what-if')) return '/winter'
  if (path === '/species') return '/set-up'
  return '/'
}
