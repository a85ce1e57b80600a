import { useSignal, useSignalEffect } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import type { Connection } from '../../schemas/api.ts'
import type { Source } from '../../schemas/source.ts'
import { usePage } from '../page/use-page.ts'
import { CopyLine } from '../parts/copy-line.tsx'
import { Link } from '../parts/link.tsx'
import { PracticeOffer } from './practice-offer.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** Nothing is set up yet. A keeper is told how a first sensor gets here; nobody else can do anything about it. */
export function EmptyHouse() {
  const { person } = usePage()
  if (person.value?.role === 'keeper') return <FirstSensor />
  return (
    <p class="lead">
      {say('Nothing is watched here yet. Once a keeper has set up a place, it stands here.')}
    </p>
  )
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
        <h2 id="first-sensor">{say('A first sensor, in three steps')}</h2>
        <ol class="steps">
          <li>
            <h3>{say('Point the sensor here')}</h3>
            {how === null ? (
              <p class="soft">{say('Fetching the address …')}</p>
            ) : (
              <p>
                {sayWith(
                  "MQTT to {code}, port {code2}{part}. Any topic will do; Brumal's own is {code3}. No sensor at hand? This line plays one:",
                  {
                    code: <code>{how.host}</code>,
                    code2: <code>{how.port}</code>,
                    part: how.user !== null && (
                      <>
                        {sayWith(', as {code} (its password is in {link})', {
                          code: <code>{how.user}</code>,
                          link: <Link to="/set-up">{say('Set-up')}</Link>,
                        })}
                      </>
                    ),
                    code3: <code>{how.topic}</code>,
                  },
                )}
              </p>
            )}
            {how !== null && <CopyLine text={how.tryLine} label={say('A line that publishes one reading')} />}
          </li>
          <li aria-live="polite">
            <h3>{say('Wait until it is heard')}</h3>
            {heard.value === null ? (
              <p class="waiting">
                {sayWith('{waitingRing} Listening …', {
                  waitingRing: <span class="waiting-ring" aria-hidden="true" />,
                })}
              </p>
            ) : (
              <p>{sayWith('Heard {code}.', { code: <code>{heard.value}</code> })}</p>
            )}
          </li>
          <li>
            <h3>{say('Say what it is and where it sits')}</h3>
            {heard.value === null ? (
              <p class="soft">{say('A place first, then the sensor in it, then who lives there.')}</p>
            ) : (
              <p>
                <Link to="/set-up" class="button strong">
                  {say('Claim it')}
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
