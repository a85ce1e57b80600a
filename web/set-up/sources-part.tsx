import { useSignal, useSignalEffect } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import type { Household } from '../../schemas/household.ts'
import type { Source } from '../../schemas/source.ts'
import { usePage } from '../page/use-page.ts'
import { SourceLine } from './source-line.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** Topics that are heard and belong to nobody yet, each with what it last carried. */
export function SourcesPart({ household }: { household: Household }) {
  const page = usePage()
  const sources = useSignal<readonly Source[] | null>(null)
  const fetchSources = (): void =>
    void page.ask<Source[]>('GET', '/api/sources').then((answer) => {
      if (answer.ok) sources.value = answer.value
    })
  useEffect(fetchSources, [household])
  useSignalEffect(() => {
    if (page.event.value?.kind === 'source') fetchSources()
  })

  const all = sources.value ?? []
  const unclaimed = all.filter((source) => source.claimedBy.length === 0)
  const refusing = all.filter(
    (source) => source.claimedBy.length > 0 && Object.keys(source.refused).length > 0,
  )
  return (
    <section class="part" aria-labelledby="part-sources">
      <h2 id="part-sources">{say('Heard, not claimed')}</h2>
      {sources.value !== null && unclaimed.length === 0 && (
        <p class="waiting">
          {sayWith('{waitingRing} Nothing new. Listening …', {
            waitingRing: <span class="waiting-ring" aria-hidden="true" />,
          })}
        </p>
      )}
      <ul class="sources">
        {unclaimed.map((source) => (
          <SourceLine key={source.topic} source={source} household={household} />
        ))}
      </ul>
      {refusing.length > 0 && (
        <details class="more">
          <summary>
            {say('Claimed topics with messages that were not taken ({refusing})', {
              refusing: refusing.length,
            })}
          </summary>
          <ul class="sources">
            {refusing.map((source) => (
              <SourceLine key={source.topic} source={source} household={household} />
            ))}
          </ul>
        </details>
      )}
    </section>
  )
}
