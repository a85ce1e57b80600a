import { useSignal, useSignalEffect } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import type { Connection } from '../../schemas/api.ts'
import type { Source } from '../../schemas/source.ts'
import { usePage } from '../page/use-page.ts'
import { CopyLine } from '../parts/copy-line.tsx'
import { Link } from '../parts/link.tsx'
import { PracticeOffer } from './practice-offer.tsx'

/** Nothing is set up yet. A keeper is told how a first sensor gets here; nobody else can do anything about it. */
export function EmptyHouse() {
  const { person } = usePage()
  if (person.value?.role === 'keeper') return <FirstSensor />
  return <p class="lead">Nothing is watched here yet. Once a keeper has set up a place, it stands here.</p>
}

/** How a first sensor gets here, told while we listen for it. */
function FirstSensor() {
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
    <div class="empty">
      <section aria-labelledby="first-sensor">
        <h2 id="first-sensor">A first sensor, in three steps</h2>
        <ol class="steps">
          <li>
            <h3>Point the sensor here</h3>
            {how === null ? (
              <p class="soft">Fetching the address …</p>
            ) : (
              <p>
                MQTT to <code>{how.host}</code>, port <code>{how.port}</code>
                {how.user !== null && (
                  <>
                    , as <code>{how.user}</code> (its password is in <Link to="/set-up">Set-up</Link>)
                  </>
                )}
                . Any topic will do; Brumal's own is <code>{how.topic}</code>. No sensor at hand? This line
                plays one:
              </p>
            )}
            {how !== null && <CopyLine text={how.tryLine} label="A line that publishes one reading" />}
          </li>
          <li aria-live="polite">
            <h3>Wait until it is heard</h3>
            {heard.value === null ? (
              <p class="waiting">
                <span class="waiting-ring" aria-hidden="true" /> Listening …
              </p>
            ) : (
              <p>
                Heard <code>{heard.value}</code>.
              </p>
            )}
          </li>
          <li>
            <h3>Say what it is and where it sits</h3>
            {heard.value === null ? (
              <p class="soft">A place first, then the sensor in it, then who lives there.</p>
            ) : (
              <p>
                <Link to="/set-up" class="button strong">
                  Claim it
                </Link>
              </p>
            )}
          </li>
        </ol>
      </section>
      <PracticeOffer />
    </div>
  )
}
