import type { Random } from '../../daemon/practice/random.ts'
import { days, hours, minutes } from '../../schemas/amounts.ts'
import { between, chance, pick, spread } from './draw.ts'
import type { Sort } from './sort.ts'

/** What can break; each winter has at most one. */
export const families = [
  'none',
  'thermostat-on',
  'thermostat-off',
  'gas-loss',
  'mains-cut-warm',
  'mains-cut-frost',
  'door-ajar',
  'fan-dead',
  'frost-through-wall',
  'heater-on',
  'heater-dead',
  'sensor-stuck',
  'sensor-drifting',
  'sensor-silent',
  'sensor-fallen-off',
] as const
export type Family = (typeof families)[number]

export const isFamily = (name: string): name is Family => families.some((family) => family === name)

/** A fault with its severity; shares are of what it is when well. */
export type Fault =
  | { readonly kind: 'coolerOn'; readonly power: number }
  | { readonly kind: 'coolerOff' }
  | { readonly kind: 'gasLoss'; readonly fadesIn: number; readonly left: number }
  | { readonly kind: 'mainsCut'; readonly lasts: number }
  | { readonly kind: 'doorAjar'; readonly open: number; readonly lasts: number }
  | { readonly kind: 'fanDead'; readonly left: number }
  | {
      readonly kind: 'frostThroughWall'
      readonly times: number
      readonly colder: number
      readonly lasts: number
    }
  | { readonly kind: 'heaterOn' }
  | { readonly kind: 'heaterDead'; readonly left: number }
  | { readonly kind: 'sensorStuck' }
  | { readonly kind: 'sensorDrifting'; readonly perDay: number }
  | { readonly kind: 'sensorSilent' }
  | { readonly kind: 'sensorFallenOff' }

/** Where a family can happen, as often as it is named. */
export function sortsOf(family: Family): readonly [Sort, ...Sort[]] {
  switch (family) {
    case 'none':
    case 'sensor-silent':
      return ['fridge', 'fridge', 'garageFridge', 'coldRoom', 'frame', 'enclosure']
    case 'thermostat-on':
    case 'thermostat-off':
    case 'gas-loss':
      return ['fridge', 'fridge', 'coldRoom']
    case 'fan-dead':
      return ['fridge', 'coldRoom']
    case 'mains-cut-warm':
      return ['fridge', 'fridge', 'coldRoom', 'enclosure']
    case 'mains-cut-frost':
      return ['garageFridge', 'frame']
    case 'door-ajar':
      return ['fridge', 'fridge', 'coldRoom', 'frame', 'enclosure']
    case 'frost-through-wall':
      return ['frame', 'garageFridge']
    case 'heater-on':
    case 'heater-dead':
      return ['garageFridge', 'frame', 'enclosure']
    case 'sensor-stuck':
    case 'sensor-drifting':
    case 'sensor-fallen-off':
      return ['fridge', 'fridge', 'coldRoom', 'enclosure', 'frame']
    default:
      return family satisfies never
  }
}

/** Severities from harmless to deadly (plausible, no source). */
export function faultOf(family: Family, random: Random): Fault | null {
  switch (family) {
    case 'none':
      return null
    case 'thermostat-on':
      return { kind: 'coolerOn', power: between(random, 0.4, 1) }
    case 'thermostat-off':
      return { kind: 'coolerOff' }
    case 'gas-loss':
      return { kind: 'gasLoss', fadesIn: spread(random, hours(8), days(5)), left: between(random, 0, 0.4) }
    case 'mains-cut-warm':
    case 'mains-cut-frost':
      return { kind: 'mainsCut', lasts: spread(random, minutes(20), days(5)) }
    case 'door-ajar':
      return {
        kind: 'doorAjar',
        open: spread(random, 0.15, 1),
        lasts: spread(random, hours(1), days(5)),
      }
    case 'fan-dead':
      return { kind: 'fanDead', left: spread(random, 0.01, 0.2) }
    case 'frost-through-wall':
      return {
        kind: 'frostThroughWall',
        times: between(random, 1.5, 6),
        colder: between(random, 4, 16),
        lasts: spread(random, hours(10), days(5)),
      }
    case 'heater-on':
      return { kind: 'heaterOn' }
    case 'heater-dead':
      return { kind: 'heaterDead', left: chance(random, 0.7) ? 0 : between(random, 0.1, 0.7) }
    case 'sensor-stuck':
      return { kind: 'sensorStuck' }
    case 'sensor-drifting':
      return { kind: 'sensorDrifting', perDay: pick(random, [-1, 1]) * spread(random, 0.2, 4) }
    case 'sensor-silent':
      return { kind: 'sensorSilent' }
    case 'sensor-fallen-off':
      return { kind: 'sensorFallenOff' }
    default:
      return family satisfies never
  }
}

/** How long it lasts; for ever where nobody mends it. */
export function lastingOf(fault: Fault): number {
  return 'lasts' in fault ? fault.lasts : Number.POSITIVE_INFINITY
}

export const isSensorFamily = (family: Family): boolean => family.startsWith('sensor-')
