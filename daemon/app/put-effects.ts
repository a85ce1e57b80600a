import type { WatchEffect } from '../../shared/judging/watch-state.ts'
import type { Clock } from '../ports/clock.ts'
import type { Ledger } from './ledger.ts'

/** Puts what one step of the watch asks for into the next commit; true where that must not wait. */
export function putEffects(
  effects: readonly WatchEffect[],
  ledger: Pick<Ledger, 'addReading' | 'addLine' | 'addLive'>,
  clock: Pick<Clock, 'now'>,
): boolean {
  let isUrgent = false
  for (const effect of effects) {
    switch (effect.kind) {
      case 'store':
        ledger.addReading({ ...effect.reading, quality: effect.quality })
        break
      case 'journal':
        ledger.addLine(effect.entry)
        isUrgent = true
        break
      case 'alarm':
        ledger.addLive({ kind: 'alarm', alarm: effect.alarm, at: clock.now() })
        isUrgent = true
        break
      case 'setAside':
      case 'tell':
        break
      default:
        effect satisfies never
    }
  }
  return isUrgent
}
