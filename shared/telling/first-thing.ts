import type { Alarm } from '../../schemas/alarm.ts'
import type { PlaceKind } from '../../schemas/place.ts'
import { say } from '../words/say.ts'

/** Goes under every piece of advice in a message (S6). */
export const caution = say('Not veterinary advice: ask a reptile vet. Mains and water do not mix.')

/** The same for screens, where there is room for the law (S6). */
export const cautions = say('{caution} The law on species and their welfare where you live applies.', {
  caution,
})

/**
 * The first thing to do, for somebody half asleep. Common practice, no source, but for "do not warm fast" and the cool
 * room: an animal that must come out of the cold is warmed over hours (Forbes, N., lectures on tortoise hibernation).
 */
export function firstThing(alarm: Alarm, kind: PlaceKind | null): string {
  const isWarm = kind === 'enclosure' || kind === 'room' || kind === 'culture'
  switch (alarm.kind) {
    case 'limit':
    case 'animalLimit':
    case 'limitAhead':
      return limitAdvice(alarm, isWarm)
    case 'silent':
      return say(
        'Look whether the sensor has power and network. Until it speaks, read a thermometer there by hand.',
      )
    case 'faulty':
    case 'stuck':
      return say('Read a second thermometer there by hand, then look at the sensor and its cable.')
    case 'disagreeing':
      return say(
        'Read a third thermometer there by hand. Until you know which is right, trust the more dangerous one.',
      )
    case 'batteryLow':
      return say('Change the battery within the next days. Cold empties it faster.')
    case 'brokerLost':
      return say(
        'Read the thermometers by hand: nothing is watched until readings come in. Then look at network, router and broker.',
      )
    case 'sessionLost':
      return say(
        'Nothing at once: readings come in again. The curves have a gap; look at the settings of the broker by day.',
      )
    case 'storeFailing':
      return say(
        'Look at the disk or memory card: full, loose or worn out? The alarms go on; leave the computer running.',
      )
    case 'diskNearlyFull':
      return say(
        'Make room on the disk within the next days, or let Brumal keep single readings for a shorter time.',
      )
    case 'clockImplausible':
      return say(
        'Look whether the computer has network, so that it can set its clock. The alarms go on by elapsed time.',
      )
    case 'backupFailing':
      return say('Look at the folder of the backups under Set-up: full, not mounted, or not to be written?')
    case 'databaseSetAside':
      return say(
        'See under Set-up that places, animals and contacts are as they should be. Then think of a new memory card.',
      )
    case 'stalled':
      return say('Look at what else runs on this computer, and whether its memory card still works.')
    case 'notCooling':
      return say(
        'Look whether the plug is in, the fuse holds and the fridge hums. A full bottle of cold water slows the warming.',
      )
    case 'alwaysCooling':
      return say(
        'Look at the thermostat and the door seal. If it does not stop, pull the plug before it freezes, and move the box to a cool room.',
      )
    case 'drifting':
      return say('Nothing at once: look by day at the thermostat, the seal and what stands in the fridge.')
    case 'doorAjar':
      return say('Close the door, and see that nothing keeps it open.')
    case 'unwatched':
      return say(
        'Go and read a thermometer there by hand: nothing watches these animals until a sensor works.',
      )
    case 'undeliverable':
      return say(
        'Ring them by telephone, and look after the animals until they answer. Then mend their channel under Contacts.',
      )
    default:
      return alarm.kind satisfies never
  }
}

function limitAdvice(alarm: Alarm, isWarm: boolean): string {
  const isLow = alarm.limit === 'low' || alarm.limit === 'lowCritical'
  switch (alarm.quantity) {
    case 'temperature':
      if (isWarm)
        return isLow
          ? say('Look whether heat and mains are on. Cover the enclosure and keep the animal from draughts.')
          : say('Switch lamps and heat off and let air in.')
      return isLow
        ? say(
            'Move the box to a cool room, about 5 to 10 °C. Do not warm the animal fast. Then look at the thermostat.',
          )
        : say(
            'See that the door is shut, the plug is in and the fridge runs. Bottles of cold water slow the warming.',
          )
    case 'humidity':
      return isLow
        ? say('Look at the bedding and the water: dry air costs the animal weight.')
        : say('Air the place and look for wet bedding.')
    case 'door':
      return say('Close the door.')
    case 'power':
      return say('Look at the plug and the fuse.')
    case 'battery':
    case 'voltage':
      return say('Change the battery.')
    case null:
      return say('Go and look.')
    default:
      return alarm.quantity satisfies never
  }
}
