import type { NightCurve } from '../../schemas/api.ts'
import { usePage } from '../page/use-page.ts'
import type { Fault } from './faults.ts'
import { faultWords, type NamesHere } from './fault-words.ts'
import { stretchWords } from './mark-words.ts'
import { say } from '../../shared/words/say.ts'

/** Alarms listed below the curve; a night with more is told by its newest, and the journal has them all. */
const mostListed = 6

/** What the strip below the curve marks, in words and times. */
export function FaultList({
  faults,
  night,
  zone,
  names,
}: {
  faults: readonly Fault[]
  night: NightCurve['night']
  zone: string
  names: NamesHere
}) {
  const { tell } = usePage()
  if (faults.length === 0) return null
  const listed = faults.slice(-mostListed)
  const more = faults.length - listed.length
  return (
    <ul class="faults" aria-label={say('Alarms in this curve')}>
      {listed.map((fault) => (
        <li key={`${fault.alarm} ${fault.from}`}>
          <FaultMark priority={fault.priority} />
          {faultWords(fault, names)}, {stretchWords(fault, night, tell, zone)}
        </li>
      ))}
      {more > 0 && <li class="soft">{more === 1 ? say('one earlier') : say('{more} earlier', { more })}</li>}
    </ul>
  )
}

/** The strip's own sign: high full, medium half, low hollow. */
function FaultMark({ priority }: { priority: Fault['priority'] }) {
  const fill = { high: 'M0 0h14v6H0z', medium: 'M0 3h14v3H0z', low: '' }[priority]
  return (
    <svg class={`fault-mark fault-${priority}`} viewBox="0 0 14 6" aria-hidden="true" focusable="false">
      <path class="fault-rim" d="M.5 .5h13v5H.5z" />
      <path class="fault-lit" d={fill} />
    </svg>
  )
}
