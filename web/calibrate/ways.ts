import type { Sensor, SensorType } from '../../schemas/sensor.ts'
import type { CalibratedQuantity } from '../../schemas/calibration.ts'
import {
  comparisonSteps,
  type KeeperStep,
  mainsCaution,
  probeCaution,
  protectionOf,
  sealedBagSteps,
} from '../../shared/sensing/ice-point-steps.ts'
import { say } from '../../shared/words/say.ts'

export type Way = 'ice' | 'bag' | 'twoPoint' | 'reference' | 'certificate'

export const wayName: Readonly<Record<Way, string>> = {
  ice: say('In melting ice, a waterproof probe'),
  bag: say('In melting ice, sealed in a bag'),
  twoPoint: say('At two points'),
  reference: say('Beside a checked thermometer or hygrometer'),
  certificate: say('From a certificate'),
}

export const wayHint: Readonly<Record<Way, string>> = {
  ice: say('The best there is at home near freezing: about an hour, with ice and an insulated mug.'),
  bag: say('For a bare circuit board. Slower, and less sure: the bag holds air.'),
  twoPoint: say('For a sensor that must be right in the cold and in the warm. Needs a checked thermometer.'),
  reference: say('For bare boards and for humidity, without water.'),
  certificate: say('A laboratory or its maker has found it; nothing needs to be moved.'),
}

/** Ways for this sensor; a bare board never goes into water as it is. */
export function waysFor({ type }: Pick<Sensor, 'type'>): readonly Way[] {
  switch (protectionOf(type)) {
    case 'probe':
      return ['ice', 'bag', 'twoPoint', 'reference', 'certificate']
    case 'board':
      return ['reference', 'bag', 'twoPoint', 'certificate']
    case 'noThermometer':
      return []
  }
}

/** What it can be compared in; an element that is not known may measure both. */
export function quantitiesOf(type: SensorType): readonly CalibratedQuantity[] {
  switch (type) {
    case 'dht22':
    case 'sht3x':
    case 'bme280':
    case 'other':
      return ['temperature', 'humidity']
    case 'ds18b20':
    case 'ntc':
    case 'pt1000':
      return ['temperature']
    case 'contact':
      return []
    default:
      return type satisfies never
  }
}

/** What is to be known before it begins. */
export function stepsBefore(way: Way): readonly KeeperStep[] {
  switch (way) {
    case 'ice':
      return [probeCaution, mainsCaution]
    case 'bag':
      return [mainsCaution, ...sealedBagSteps]
    case 'twoPoint':
      return [
        probeCaution,
        mainsCaution,
        {
          text: say(
            'One point near the cold that it must tell, best melting ice; the other near the warm, at least 5 K apart.',
          ),
        },
        { text: say('At each: wait until it rests, and enter what is true there.') },
      ]
    case 'reference':
      return comparisonSteps
    case 'certificate':
      return []
    default:
      return way satisfies never
  }
}
