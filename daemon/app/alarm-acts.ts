import type { Alarm } from '../../schemas/alarm.ts'
import { later } from '../../schemas/amounts.ts'
import type { AlarmId } from '../../schemas/ids.ts'
import type { AlarmEvent } from '../../shared/judging/alarm.ts'
import { placesNow } from '../../shared/judging/place-now.ts'
import { longestShelving, longestTending } from '../../shared/judging/policy.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { say } from '../../shared/words/say.ts'
import type { AlarmRefusal } from '../ports/alarms.ts'
import type { Clock } from '../ports/clock.ts'
import type { Desk } from '../ports/desk.ts'
import type { Outcome } from '../ports/outcome.ts'
import type { House } from './house.ts'

type AlarmActs = Pick<
  Desk,
  'acknowledge' | 'shelve' | 'unshelve' | 'takeOutOfService' | 'returnToService' | 'tend'
>

/** What a person does about an alarm that stands, or that their own hands would raise. */
export function alarmActs({ house, clock }: { readonly house: House; readonly clock: Clock }): AlarmActs {
  function act(id: AlarmId, event: Extract<AlarmEvent, { by: string }>): Outcome<Alarm, AlarmRefusal> {
    const known = house.state().alarms.get(id)
    if (known === undefined)
      return { ok: false, error: 'noSuchAlarm', sentence: say('There is no such alarm.') }
    house.take({ kind: 'person', alarm: id, act: event }, 'soon')
    return { ok: true, value: house.state().alarms.get(id) ?? known }
  }

  return {
    acknowledge(id, occurrence, by) {
      const known = house.state().alarms.get(id)
      if (known !== undefined && known.occurrence !== occurrence)
        return {
          ok: false,
          error: 'earlierOccurrence',
          sentence: say('This alarm has been raised again since; look at it afresh.'),
        }
      return act(id, { kind: 'acknowledge', at: clock.now(), by })
    },
    shelve(id, lasts, reason, by) {
      const known = house.state().alarms.get(id)
      if (known === undefined)
        return { ok: false, error: 'noSuchAlarm', sentence: say('There is no such alarm.') }
      const longest = longestShelving(known)
      if (lasts > longest)
        return {
          ok: false,
          error: 'tooLong',
          sentence: say('This alarm may be shelved for at most {duration}.', {
            duration: durationWords(longest),
          }),
        }
      if (known.state.name === 'outOfService' || known.state.name === 'suppressed')
        return { ok: false, error: 'notNow', sentence: say('It is hidden already; end that first.') }
      const now = clock.now()
      return act(id, { kind: 'shelve', at: now, until: later(now, lasts), by, reason })
    },
    unshelve: (id, by) => act(id, { kind: 'unshelve', at: clock.now(), by }),
    takeOutOfService: (id, reason, by) => act(id, { kind: 'takeOutOfService', at: clock.now(), by, reason }),
    returnToService: (id, by) => act(id, { kind: 'returnToService', at: clock.now(), by }),
    tend(place, lasts, by) {
      if (!house.state().layout.placeIndex.has(place))
        return { ok: false, error: 'noSuchPlace', sentence: say('There is no such place.') }
      if (lasts > longestTending)
        return {
          ok: false,
          error: 'tooLong',
          sentence: say('Tending lasts at most {duration}.', { duration: durationWords(longestTending) }),
        }
      const now = clock.now()
      house.take({ kind: 'tend', place, at: now, until: later(now, lasts), by }, 'soon')
      house.publish({ kind: 'tonight' })
      const here = placesNow(house.state(), now).find((one) => one.id === place)
      if (here === undefined) throw new Error(`Place ${place} vanished while it was tended.`)
      return { ok: true, value: here }
    },
  }
}
