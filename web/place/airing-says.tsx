import { useMemo } from 'preact/hooks'
import type { PlaceNow } from '../../schemas/api.ts'
import { instant } from '../../schemas/amounts.ts'
import type { DiaryLine } from '../../schemas/diary.ts'
import { doorOf } from '../../shared/air/one-door.ts'
import { lastAiring, oxygenLeft } from '../../shared/season/airing.ts'
import { useFollowed } from '../diary/use-followed.ts'
import { lastMasses } from '../diary/weigh-order.ts'
import { usePage } from '../page/use-page.ts'
import { airingWords, oxygenWords } from '../words/airing-words.ts'
import { held } from '../words/held.ts'
import type { Opening } from '../words/thermal-words.ts'
import { innerAir } from './airing-inner.ts'
import { openingsSinceMs } from './openings.ts'
import type { DoorLines } from './use-openings.ts'

/** When fresh air last came in, and how long what is inside lasts; nothing where no door shuts it in. */
export function AiringSays({
  place,
  places,
  openings,
  doors,
}: {
  place: PlaceNow
  places: readonly PlaceNow[]
  openings: readonly Opening[]
  doors: DoorLines
}) {
  const { tell, now, household } = usePage()
  const weighIns = useFollowed<DiaryLine[]>('/api/diary?kind=weighed&limit=500').value.value
  const masses = useMemo(() => lastMasses(weighIns ?? []), [weighIns])
  const home = doorOf(place.id, places)
  if (home === null) return null
  const told = { tell, now: now.value, zone: place.timeZone }
  const door = home.thermal?.door
  const byCurve = door?.lastOpenedAt ?? null
  const all = byCurve === null ? openings : [...openings, { at: byCurve }]
  const last = lastAiring(all, instant(now.value))
  const isRead = doors.readFrom !== null
  const knownFrom = Math.max(doors.readFrom ?? 0, now.value - openingsSinceMs)
  const isOpen = door?.standing === 'open' || door?.standing === 'ajar'
  const inner = innerAir(
    place,
    home,
    places,
    household.value,
    (animal) => masses.get(animal)?.[0]?.grams ?? null,
  )
  // Else it would say for a moment that nobody was ever weighed
  const oxygen = weighIns === null ? null : inner && oxygenWords(oxygenLeft(inner.air), inner.name, told)
  return (
    <>
      {(isRead || last !== null || isOpen) && <p>{held(airingWords(last, { isOpen, knownFrom }, told))}</p>}
      {oxygen !== null && <p class="soft">{held(oxygen)}</p>}
    </>
  )
}
