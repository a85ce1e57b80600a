import { Moon } from '../moon/moon.tsx'
import { priorityWord } from '../../shared/telling/words.ts'
import { say } from '../../shared/words/say.ts'
import { DoorMark } from './strip-down.tsx'
import { tones } from './hour-cells.ts'
import type { StripNight } from './strip.ts'

/** What the marks of a strip mean, in words; only those that occur, with what every strip has. */
export function StripKey({ nights, hasSpread }: { nights: readonly StripNight[]; hasSpread: boolean }) {
  const letters = new Set(nights.flatMap(({ hours }) => [...hours]))
  const priorities = (['high', 'medium', 'low'] as const).filter((one) =>
    nights.some((night) => night.priorities.includes(one)),
  )
  return (
    <ul class="key strip-key" aria-label={say('What the marks mean')}>
      {hasSpread && (
        <li>
          <svg class="key-cell" viewBox="0 0 14 14" aria-hidden="true" focusable="false">
            <path class="strip-band" d="M0 4h14v10h-14z" />
            <path class="strip-spread" d="M5.5 1h3v10h-3z" />
          </svg>
          {say('lowest to highest of a night, in the band')}
        </li>
      )}
      <li>
        <svg class="key-tones" viewBox="0 0 50 14" aria-hidden="true" focusable="false">
          {Array.from({ length: tones }, (_, i) => (
            <path key={i} class={`strip-tone tone-${i}`} d={`M${i * 10} 0h9v14h-9z`} />
          ))}
        </svg>
        {say('an hour: the lower, the stronger')}
      </li>
      {letters.has('l') && <OutKey d="M0 7h14v7h-14z">{say('below the band for some of the hour')}</OutKey>}
      {letters.has('h') && <OutKey d="M0 0h14v7h-14z">{say('above the band for some of the hour')}</OutKey>}
      {letters.has('L') && <OutKey d="M0 2h14v12h-14z">{say('below the critical limit')}</OutKey>}
      {letters.has('H') && <OutKey d="M0 0h14v12h-14z">{say('above the critical limit')}</OutKey>}
      {letters.has('.') && (
        <li>
          <svg class="key-cell" viewBox="0 0 14 14" aria-hidden="true" focusable="false">
            <path class="strip-blank" d="M7 1v12" />
          </svg>
          {say('nothing was heard')}
        </li>
      )}
      {nights.some(({ opened }) => opened > 0) && (
        <li>
          <DoorMark />
          {say('the door was opened')}
        </li>
      )}
      {priorities.map((priority) => (
        <li key={priority}>
          <Moon priority={priority} />
          {say('an alarm of priority {priority}', { priority: priorityWord[priority].toLowerCase() })}
        </li>
      ))}
    </ul>
  )
}

function OutKey({ d, children }: { d: string; children: string }) {
  return (
    <li>
      <svg class="key-cell" viewBox="0 0 14 14" aria-hidden="true" focusable="false">
        <path class="strip-tone tone-2" d="M0 0h14v14h-14z" />
        <path class="strip-out" d={d} />
      </svg>
      {children}
    </li>
  )
}
