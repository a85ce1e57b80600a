import { say } from '../../shared/words/say.ts'
import type { Lack, StepName } from './steps.ts'

export const stepName = (name: StepName): string => {
  switch (name) {
    case 'password':
      return say('Password')
    case 'zone':
      return say('Time zone')
    case 'sensor':
      return say('First sensor')
    case 'box':
      return say('First box')
    case 'contact':
      return say('First contact')
    case 'ring':
      return say('Ring test')
    default:
      return name satisfies never
  }
}

export const lackWords = (lack: Lack): string => {
  switch (lack) {
    case 'place':
      return say('Make the box, or the fridge first and then the box in it.')
    case 'animal':
      return say('Say who lives in it: the species and the phase decide what is safe.')
    case 'sensor':
      return say('No sensor sits where somebody lives, nor in what holds it: say where the sensor sits.')
    default:
      return lack satisfies never
  }
}

/** Where in Set-up a box gets what it lacks. */
export const partOfLack: Readonly<Record<Lack, string>> = {
  place: 'part-places',
  animal: 'part-animals',
  sensor: 'part-sensors',
}
