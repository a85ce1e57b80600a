import type { NightSide, WhatIfNight } from '../../schemas/what-if.ts'
import { sayCount, say } from '../../shared/words/say.ts'
import { usePage } from '../page/use-page.ts'

/** Height of a strip in its own units; stretched to the screen. */
const tall = 24
/** The gravest alarm of a night by height, so that no colour is needed to tell. */
const height = { high: tall, medium: 15, low: 8 } as const

/** What happened and what would have happened, one above the other, the nights across. */
export function NightStrips({ nights }: { nights: readonly WhatIfNight[] }) {
  if (nights.length === 0) return null
  return (
    <figure class="what-if-strips">
      <Strip title={say('What happened')} sides={nights.map(({ happened }) => happened)} />
      <Strip title={say('What would have happened')} sides={nights.map(({ would }) => would)} />
      <Months nights={nights} />
      <figcaption class="soft">
        {say('Each bar is a night with an alarm: the graver, the taller. Low, medium, high.')}
      </figcaption>
    </figure>
  )
}

function Strip({ title, sides }: { title: string; sides: readonly NightSide[] }) {
  const rung = sides.filter(({ rings }) => rings).length
  return (
    <div class="what-if-strip">
      <h3>{title}</h3>
      <svg
        viewBox={`0 0 ${sides.length} ${tall}`}
        preserveAspectRatio="none"
        role="img"
        aria-label={sayCount(rung, '{title}: the phone in one night.', '{title}: the phone in {n} nights.', {
          title,
        })}
      >
        <rect class="what-if-ground" x="0" y="0" width={sides.length} height={tall} />
        {sides.map(({ gravest }, i) =>
          gravest === null ? null : (
            <rect
              key={i}
              class={`what-if-${gravest}`}
              x={i + 0.08}
              y={tall - height[gravest]}
              width="0.84"
              height={height[gravest]}
            />
          ),
        )}
      </svg>
    </div>
  )
}

/** Where each month begins. */
function Months({ nights }: { nights: readonly WhatIfNight[] }) {
  const { tell } = usePage()
  const firsts = nights.flatMap(({ date }, i) =>
    i === 0 || date.endsWith('-01') ? [{ date, share: i / nights.length }] : [],
  )
  // The first is named where there is room before the next.
  const named = firsts.filter(({ share }, i) => (firsts[i + 1]?.share ?? 1) - share > 0.07)
  return (
    <div class="what-if-months" aria-hidden="true">
      {named.map(({ date, share }) => (
        <span key={date} style={{ left: `${share * 100}%` }}>
          {tell.month(date).slice(0, 3)}
        </span>
      ))}
    </div>
  )
}
