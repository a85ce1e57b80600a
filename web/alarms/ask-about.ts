import type { Alarm } from '../../schemas/alarm.ts'
import { pathTo, type Answer, type Ask } from '../page/ask.ts'

type Act = 'acknowledge' | 'shelve' | 'unshelve' | 'out-of-service' | 'return-to-service'

/** Does something about an alarm. */
export const askAbout = (ask: Ask, alarm: Alarm, act: Act, given: object): Promise<Answer<Alarm>> =>
  ask('POST', pathTo('alarms', alarm.id, act), given)
