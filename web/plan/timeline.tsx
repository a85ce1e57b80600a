import { useMemo } from 'preact/hooks'
import type { Household } from '../../schemas/household.ts'
import type { SeasonNow } from '../../schemas/season.ts'
import { phaseWord } from '../../shared/telling/words.ts'
import { usePage } from '../page/use-page.ts'
import { Lane } from './lane.tsx'
import { percent } from './percent.ts'
import { TimelineKey } from './timeline-key.tsx'
import { timeScale } from './time-scale.ts'
import { say } from '../../shared/words/say.ts'

/** Months across, one lane for each animal. */
export function Timeline({
  season,
  household,
  chosen,
  onChoose,
}: {
  season: SeasonNow
  household: Household
  chosen: string | null
  onChoose: (animal: string) => void
}) {
  const { tell } = usePage()
  const zone = household.timeZone
  const scale = useMemo(() => timeScale(season.rows, season, season.at, zone), [season, zone])
  const nameOf = (id: string) => household.animals.find((animal) => animal.id === id)?.name ?? id
  const placeOf = (id: string | null) => household.places.find((place) => place.id === id)?.name ?? null
  return (
    <figure class="timeline" aria-label={say('Winter {season} of every animal', { season: season.season })}>
      <div class="timeline-months" aria-hidden="true">
        {scale.months.map(({ date, share }) => (
          <span key={date} style={{ left: percent(share) }}>
            {tell.month(date).slice(0, 3)}
          </span>
        ))}
      </div>
      <ul class="lanes">
        {season.rows.map((row) => (
          <li key={row.animal} class="lane-row">
            <button
              type="button"
              class="quiet lane-name"
              aria-pressed={chosen === row.animal}
              onClick={() => onChoose(row.animal)}
            >
              {nameOf(row.animal)}
            </button>
            <span class="soft lane-where">
              {[placeOf(row.place), phaseWord[row.phase]].filter((part) => part !== null).join(' · ')}
              {row.conflicts.length > 0 && (
                <span class="lane-warns"> · {conflictWords(row.conflicts.length)}</span>
              )}
            </span>
            <Lane row={row} scale={scale} now={season.at} zone={zone} />
          </li>
        ))}
      </ul>
      <TimelineKey />
    </figure>
  )
}

const conflictWords = (n: number): string =>
  n === 1 ? say('one thing speaks against it') : say('{n} things speak against it', { n })
