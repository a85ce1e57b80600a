import type { OutlookScenario, OutlookUnknown } from '../../schemas/outlook.ts'
import { say } from '../words/say.ts'

/** Not a number, but why there is none and what would give one. */
export const unknownOutlook = (why: OutlookUnknown): Extract<OutlookScenario, { isKnown: false }> => ({
  isKnown: false,
  why,
  sentence: sentences[why],
})

const doTrial = say(
  'Start a trial run while no animal is inside and leave the plug out for six hours or a night.',
)

const sentences: Record<OutlookUnknown, string> = {
  notCooled: say('Only a fridge, a cold room or a box inside one is reckoned: nothing cools this place.'),
  noSensor: say('Not known yet: no thermometer is in this place.'),
  silent: say('Not known now: no thermometer here gives a value to be trusted.'),
  noLimits: say('Not known yet: no limits of temperature are in force here, so there is nothing to be met.'),
  noStretch: say(
    'Not known yet: it has never been seen without cooling. The compressor’s cycle shows only how fast the air answers, not how long what lies inside stays cold. {doTrial}',
    { doTrial },
  ),
  tooShort: say(
    'Not known yet: the times without cooling were too short, or it warmed too little in them. {doTrial}',
    { doTrial },
  ),
  tooUnsure: say(
    'Not known yet: the times without cooling do not agree well enough on one figure. {doTrial} A thermometer in the room helps.',
    { doTrial },
  ),
  noCycle: say(
    'Not known yet: how its compressor usually runs is not learnt. Some hours of quiet running will do.',
  ),
}
