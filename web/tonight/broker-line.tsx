import type { BrokerState } from '../../schemas/api.ts'
import { usePage } from '../page/use-page.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { say } from '../../shared/words/say.ts'

/** The connection to the sensors, only while it is not up. */
export function BrokerLine({ broker }: { broker: BrokerState }) {
  const { now } = usePage()
  if (broker.name === 'up') return null
  const retry = broker.retryAt === null ? null : broker.retryAt - now.value
  return (
    <p class="broker" role="status">
      {broker.sentence}
      {retry !== null && retry > 0 && say(' Trying again in {duration}.', { duration: durationWords(retry) })}
    </p>
  )
}
