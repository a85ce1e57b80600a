import type { BrokerState } from '../../schemas/api.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Clock } from '../ports/clock.ts'

export interface StateKeeper {
  readonly state: () => BrokerState
  readonly onState: (listener: (state: BrokerState) => void) => void
  readonly set: (name: BrokerState['name'], sentence: string, retryAt?: Instant) => void
}

/** Holds one broker's state and tells its listeners of changes. `since` moves only when the name does. */
export function stateKeeper(kind: BrokerState['kind'], clock: Clock): StateKeeper {
  let current: BrokerState = {
    kind,
    name: 'starting',
    sentence: 'Starting.',
    since: clock.now(),
    retryAt: null,
  }
  const listeners: ((state: BrokerState) => void)[] = []

  return {
    state: () => current,
    onState: (listener) => void listeners.push(listener),
    set(name, sentence, retryAt) {
      const since = name === current.name ? current.since : clock.now()
      current = { kind, name, sentence, since, retryAt: retryAt ?? null }
      for (const listener of listeners) listener(current)
    },
  }
}
