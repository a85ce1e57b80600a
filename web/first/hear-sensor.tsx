import { useSignal, useSignalEffect } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import type { Connection } from '../../schemas/api.ts'
import type { Source } from '../../schemas/source.ts'
import { say } from '../../shared/words/say.ts'
import { usePage } from '../page/use-page.ts'
import { CopyLine } from '../parts/copy-line.tsx'
import { Link } from '../parts/link.tsx'
import { sayWith } from '../parts/say-with.ts'

/** How a first sensor gets here, told while we listen for it. */
export function HearSensor() {
  const page = usePage()
  const connection = useSignal<Connection | null>(null)
  const heard = useSignal<string | null>(null)

  useEffect(() => {
    void (async () => {
      const [how, sources] = await Promise.all([
        page.ask<Connection>('GET', '/api/connection'),
        page.ask<Source[]>('GET', '/api/sources'),
      ])
      if (how.ok) connection.value = how.value
      if (sources.ok)
        heard.value ??= sources.value.find((source) => source.claimedBy.length === 0)?.topic ?? null
    })()
  }, [])
  useSignalEffect(() => {
    const event = page.event.value
    if (event?.kind === 'source') heard.value = event.topic
  })

  const how = connection.value
  return (
    <>
      {how === null ? (
        <p class="soft">{say('Fetching the address …')}</p>
      ) : (
        <>
          <p>
            {sayWith('Point it here: MQTT to {host}, port {port}, as {user}; its password is in {setUp}.', {
              host: <code>{how.host}</code>,
              port: <code>{how.port}</code>,
              user: <code>{how.user ?? say('anybody')}</code>,
              setUp: <Link to="/set-up">{say('Set-up')}</Link>,
            })}
          </p>
          <p>
            {sayWith("Any topic will do; Brumal's own is {topic}. No sensor at hand? This line plays one:", {
              topic: <code>{how.topic}</code>,
            })}
          </p>
          <CopyLine text={how.tryLine} label={say('A line that publishes one reading')} />
        </>
      )}
      <div aria-live="polite">
        {heard.value === null ? (
          <p class="waiting">
            {sayWith('{waitingRing} Listening …', {
              waitingRing: <span class="waiting-ring" aria-hidden="true" />,
            })}
          </p>
        ) : (
          <p>{sayWith('Heard {topic}.', { topic: <code>{heard.value}</code> })}</p>
        )}
      </div>
      {heard.value === null ? (
        <p class="soft">{say('Then make the place that it sits in, and say what it is.')}</p>
      ) : (
        <p>
          <Link to="/set-up" class="button strong">
            {say('Claim it')}
          </Link>
        </p>
      )}
    </>
  )
}
