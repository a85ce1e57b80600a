import { useSignal } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import type { PlaceNow } from '../../schemas/api.ts'
import { FirstSteps } from '../first/first-steps.tsx'
import { Moon } from '../moon/moon.tsx'
import { placeOfPath } from '../page/route.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { Screen } from '../parts/screen.tsx'
import { Skeleton } from '../parts/skeleton.tsx'
import { isUnanswered, zoneOf } from '../words/alarm-words.ts'
import { held } from '../words/held.ts'
import { worstOf } from '../words/worst-of.ts'
import { BrokerLine } from './broker-line.tsx'
import { EmptyHouse } from './empty-house.tsx'
import { PlaceCard } from './place-card.tsx'
import { StandingAlarms } from './standing-alarms.tsx'
import { TellingLines } from './telling-lines.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** Is everyone safe tonight? Then each place's night. */
export function TonightScreen() {
  const { tonight, route } = usePage()
  const now = tonight.value
  // Back from a place's page: the focus is where it was left
  useEffect(() => {
    const { by, from } = route.coming
    if (by === 'history' && from !== null && placeOfPath(from) !== null)
      document.querySelector<HTMLElement>(`.place-name[href=${JSON.stringify(from)}]`)?.focus()
  }, [])
  // The answer is on the screen before the first place is drawn: on a slow phone a quarter of a second sooner
  const mayDraw = useSignal(route.coming.by !== 'opening')
  useEffect(() => {
    if (now === null || mayDraw.value) return undefined
    const frame = requestAnimationFrame(() => setTimeout(() => (mayDraw.value = true)))
    return () => cancelAnimationFrame(frame)
  }, [now === null])
  if (now === null)
    return (
      <Screen title={say('Tonight')} heading={say('Tonight')}>
        <Skeleton shape="cards" />
      </Screen>
    )
  if (now.places.length === 0) {
    return (
      <Screen title={say('Tonight')} heading={held(now.sentence)}>
        <BrokerLine broker={now.broker} />
        <StandingAlarms alarms={now.alarms} />
        <EmptyHouse />
      </Screen>
    )
  }
  return (
    <Screen title={say('Tonight')} heading={<Answer />}>
      <BrokerLine broker={now.broker} />
      <StandingAlarms alarms={now.alarms} />
      <TellingLines />
      <FirstSteps />
      {now.places.some((place) => place.animals.length > 0) && (
        <Link to="/weigh" class="button strong thumb">
          {say('Weigh')}
        </Link>
      )}
      {!mayDraw.value && <Skeleton shape="cards" />}
      {mayDraw.value && (
        <div class="places">
          {inSight(now.places).map((place) => (
            <PlaceCard key={place.id} place={place} parent={nameOf(now.places, place.parent)} />
          ))}
        </div>
      )}
    </Screen>
  )
}

/** The one sentence. Once the page hears nothing any more it claims nothing: the last answer is told as past (N1). */
function Answer() {
  const { tonight, household, live, heardAt, tell, now } = usePage()
  const told = tonight.value
  if (told === null) return null
  if (live.isLost.value) {
    const zone = zoneOf(null, told, household.value)
    return (
      <span class="answer answer-unknown">
        {sayWith('Unknown since {time}. {soft}', {
          time: tell.when(heardAt.value ?? now.value, now.value, zone),
          soft: (
            <span class="soft">
              {say('The last answer was: {sentence}', { sentence: held(told.sentence) })}
            </span>
          ),
        })}
      </span>
    )
  }
  const worst = told.standing === 'out' ? worstOf(told.alarms.filter(isUnanswered)) : null
  return (
    <span class={`answer ${worst === null ? '' : `sign-${worst}`}`}>
      {worst !== null && <Moon priority={worst} />}
      {held(told.sentence)}
    </span>
  )
}

const nameOf = (places: readonly { id: string; name: string }[], id: string | null): string | null =>
  places.find((place) => place.id === id)?.name ?? null

/** Places with something to see first: a card of two lines among those with curves leaves a hole on a desk. */
function inSight(places: readonly PlaceNow[]): PlaceNow[] {
  const isBare = ({ values, animals }: PlaceNow): boolean => values.length === 0 && animals.length === 0
  return [...places.filter((place) => !isBare(place)), ...places.filter(isBare)]
}
