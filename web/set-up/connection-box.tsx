import { useSignal } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import type { Connection } from '../../schemas/api.ts'
import { usePage } from '../page/use-page.ts'
import { CopyLine } from '../parts/copy-line.tsx'
import { say } from '../../shared/words/say.ts'

/** How a sensor reaches Brumal. The password stays hidden until it is asked for. */
export function ConnectionBox() {
  const page = usePage()
  const connection = useSignal<Connection | null>(null)
  const isShown = useSignal(false)
  useEffect(() => {
    void page.ask<Connection>('GET', '/api/connection').then((answer) => {
      if (answer.ok) connection.value = answer.value
    })
  }, [])
  const how = connection.value
  const broker = page.tonight.value?.broker ?? how?.broker
  if (how === null) return null
  return (
    <section class="part" aria-labelledby="part-connection">
      <h2 id="part-connection">{say('Connection')}</h2>
      <p>{broker?.sentence}</p>
      <dl class="facts">
        <dt>{say('Host')}</dt>
        <dd>
          <code>{how.host}</code>
        </dd>
        <dt>{say('Port')}</dt>
        <dd>
          <code>{how.port}</code>
        </dd>
        {how.user !== null && (
          <>
            <dt>{say('User')}</dt>
            <dd>
              <code>{how.user}</code>
            </dd>
          </>
        )}
        {how.password !== null && (
          <>
            <dt>{say('Password')}</dt>
            <dd>
              <code>{isShown.value ? how.password : '••••••••••'}</code>{' '}
              <button
                type="button"
                class="quiet"
                aria-pressed={isShown.value}
                onClick={() => (isShown.value = !isShown.value)}
              >
                {isShown.value ? say('Hide') : say('Show')}
              </button>
            </dd>
          </>
        )}
        <dt>{say('Topic')}</dt>
        <dd>
          <code>{how.topic}</code>
        </dd>
      </dl>
      <p class="hint">{say('A line that publishes one reading:')}</p>
      <CopyLine
        text={how.tryLine}
        shown={
          how.password === null || isShown.value ? how.tryLine : how.tryLine.replaceAll(how.password, '••••')
        }
        label={say('A line that publishes one reading')}
      />
    </section>
  )
}
