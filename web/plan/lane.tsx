import { instant } from '../../schemas/amounts.ts'
import type { SeasonRow } from '../../schemas/season.ts'
import { localDate } from '../../shared/time/wall.ts'
import { usePage } from '../page/use-page.ts'
import { phaseName } from '../words/plan-words.ts'
import { percent } from './percent.ts'
import { segmentsOf, type Segment } from './segments.ts'
import type { TimeScale } from './time-scale.ts'
import { say } from '../../shared/words/say.ts'

/** One animal's phases as a strip; a draft is an outline, what is in force is filled. Read aloud it is a list. */
export function Lane({
  row,
  scale,
  now,
  zone,
}: {
  row: SeasonRow
  scale: TimeScale
  now: number
  zone: string
}) {
  const { tell } = usePage()
  const date = (at: number): string => tell.date(localDate(instant(at), zone))
  const words = ({ phase, from, to }: Segment): string =>
    say('{part} from {date}{part2}', {
      part: phaseName[phase],
      date: date(from),
      part2: to === null ? '' : say(' to {date}', { date: date(to) }),
    })
  const strips = [
    { steps: row.plan, kind: 'plan', label: say('In force') },
    { steps: row.draft, kind: 'draft', label: say('In preparation') },
  ] as const
  return (
    <div class="lane">
      {scale.months.map((month) => (
        <span key={month.date} class="lane-month" style={{ left: percent(month.share) }} />
      ))}
      {strips.map(({ steps, kind, label }) => {
        const shown = segmentsOf(steps).filter(
          (one) => scale.share(one.to ?? Infinity) > 0 && scale.share(one.from) < 1,
        )
        if (shown.length === 0) return null
        return (
          <ol key={kind} class={`strip strip-${kind}`} aria-label={label}>
            {shown.map((one) => (
              <li
                key={one.from}
                class={`phase phase-${one.phase}`}
                style={{
                  left: percent(scale.share(one.from)),
                  width: percent(
                    Math.min(1, scale.share(one.to ?? Infinity)) - Math.max(0, scale.share(one.from)),
                  ),
                }}
                title={words(one)}
              >
                <span class="unseen">{words(one)}</span>
              </li>
            ))}
          </ol>
        )
      })}
      <span class="lane-now" style={{ left: percent(scale.share(now)) }} />
    </div>
  )
}
