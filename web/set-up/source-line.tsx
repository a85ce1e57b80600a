import { useSignal } from '@preact/signals'
import type { Household } from '../../schemas/household.ts'
import type { Refusal, Source } from '../../schemas/source.ts'
import { usePage } from '../page/use-page.ts'
import { Age } from '../parts/age.tsx'
import { quantityName, refusalName } from '../words/names.ts'
import { channelsOf, sensorFrom } from './claim.ts'
import { SensorForm } from './sensor-form.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** One topic: what it carried, what was found in it, what was refused, and the claim. */
export function SourceLine({ source, household }: { source: Source; household: Household }) {
  const { tell } = usePage()
  const channel = useSignal<string | null>(null)
  const refusals = Object.entries(source.refused) as [Refusal, number][]
  const channels = channelsOf(source)
  return (
    <li class="source">
      <p class="source-head">
        <code>{source.topic}</code>
        <span class="soft">
          {sayWith('{count} messages, last {age}', {
            count: tell.count(source.heard),
            age: <Age at={source.lastAt} zone={household.timeZone} />,
          })}
        </span>
      </p>
      {source.found.length > 0 && (
        <p>
          {say('Found {found}', {
            found: source.found
              .map(
                (found) =>
                  `${quantityName[found.quantity].toLowerCase()} ${tell.value(found.value, found.quantity)}${found.channel === '' ? '' : ` (${found.channel})`}`,
              )
              .join(', '),
          })}
        </p>
      )}
      {refusals.length > 0 && (
        <p class="source-refused">
          {say('Not taken: {refusals}', {
            refusals: refusals.map(([why, count]) => `${tell.count(count)} × ${refusalName[why]}`).join(', '),
          })}
        </p>
      )}
      <code class="source-sample">{source.sample === '' ? '(empty)' : source.sample}</code>
      {source.claimedBy.length === 0 && (
        <div class="source-claims">
          {channels.map((one) => (
            <button
              key={one}
              type="button"
              aria-expanded={channel.value === one}
              onClick={() => (channel.value = channel.value === one ? null : one)}
            >
              {sayWith('Claim{part}{unseen}', {
                part: channels.length > 1 && ` ${one === '' ? say('the unnamed channel') : one}`,
                unseen: <span class="unseen"> {source.topic}</span>,
              })}
            </button>
          ))}
        </div>
      )}
      {channel.value !== null && (
        <SensorForm
          key={channel.value}
          sensor={sensorFrom(source, channel.value, household)}
          isNew
          household={household}
          onDone={() => (channel.value = null)}
        />
      )}
    </li>
  )
}
