import type { SensorType } from '../../schemas/sensor.ts'
import { say } from '../words/say.ts'

/** What keeps the water off: asked of the keeper, for a type does not tell a sealed probe from a bare one. */
export type Protection = 'waterproofProbe' | 'sealedBag' | 'none'

/** What a sensor of a type usually is: sold as a sealed probe too, always a bare board, or nothing to be checked in ice. */
export function protectionOf(type: SensorType): 'probe' | 'board' | 'noThermometer' {
  switch (type) {
    case 'ds18b20':
    case 'ntc':
    case 'pt1000':
    case 'other':
      return 'probe'
    case 'sht3x':
    case 'bme280':
    case 'dht22':
      return 'board'
    case 'contact':
      return 'noThermometer'
    default:
      return type satisfies never
  }
}

export interface KeeperStep {
  readonly text: string
  /** Shown as a warning. */
  readonly isCaution?: true
}

function caution(text: string): KeeperStep {
  return { text, isCaution: true }
}

export const probeCaution = caution(say('Only a waterproof probe may go into water.'))
export const mainsCaution = caution(
  say('Mains and water do not mix: nothing that hangs on the mains may come near the bath.'),
)

/** Before any check in water. */
export const waterCautions: readonly KeeperStep[] = [
  probeCaution,
  mainsCaution,
  caution(
    say('While its probe is in the ice, its place is not watched: do this when nothing depends on it.'),
  ),
]

/** The ice bath, after ASTM E563 (procedure from memory), for a kitchen. */
export const icePointSteps: readonly KeeperStep[] = [
  { text: say('Wash your hands and the vessel; soap or salt makes the ice too cold.') },
  { text: say('Crush ice of clean water, best of distilled water, to crumbs.') },
  { text: say('Fill an insulated mug to the brim with it.') },
  { text: say('Add cold clean water until it stands just below the top of the ice.') },
  {
    text: say(
      'Wait 15 to 30 minutes. Pour off water as the ice melts, and add ice: none may float free of the bottom.',
    ),
  },
  { text: say('Put the probe into the middle, ten times its thickness deep, away from wall and bottom.') },
  { text: say('Say that it is in. Stir gently now and then, and leave it until the figure stands.') },
  { text: say('Dry the probe and put it back where it was.') },
]

/** For a bare board; the bag makes it slow, and traps air. */
export const sealedBagSteps: readonly KeeperStep[] = [
  caution(say('A bare circuit board must never touch water: put it into a bag without a hole, and seal it.')),
  { text: say('Press the air out, and keep the opening and the cable above the ice.') },
  { text: say('Give it time: through a bag it needs ten minutes or more.') },
  caution(say('If the bag has let water in, cut the power and let the board dry for a day.')),
]

/** Without water: for boards, and for humidity sensors, whose element does not like a bag full of wet air. */
export const comparisonSteps: readonly KeeperStep[] = [
  { text: say('Take a thermometer that was checked in ice, and tie both together, element to element.') },
  { text: say('Put them into a closed box in an even place, out of sun and draught, for an hour.') },
  { text: say('Read both at the same time, three times, and enter the mean of each.') },
]
