import type { PlaceKind } from '../../schemas/place.ts'
import type { Advice, AdviceAsked } from './trial-advice-asked.ts'
import { kelvin } from './trial-verdict.ts'
import type { HoldLimit } from './trial-walk.ts'
import { say } from '../words/say.ts'

/** The middle of the band is missed by less than this without a word, K. A design choice. */
const offMiddle = 0.5

/** Whether the place should be warmer or colder as a whole, and by how much. */
export function levelAdvice({ kind, report, judged, given }: AdviceAsked): Advice[] {
  const { gradient, sensors } = report
  if (judged.length === 0 || given.length === 0) return []
  const warmer = Math.max(0, ...given.map(({ verdict }) => verdict.warmer))
  const colder = Math.max(0, ...given.map(({ verdict }) => verdict.colder))
  // What helps one spot must not harm another.
  const mayWarm = Math.min(...given.map(({ verdict }) => verdict.slackHigh ?? Infinity))
  const mayCool = Math.min(...given.map(({ verdict }) => verdict.slackLow ?? Infinity))
  if ((warmer > 0 && warmer > mayWarm) || (colder > 0 && colder > mayCool))
    return [
      {
        about: 'spread',
        says: say(
          'No setting suits every spot: the coldest and the warmest value lie too far apart. First make the spots more alike and the swing smaller, then run it again.',
        ),
      },
    ]
  const middle = middleOf(given.map(({ limits }) => limits))
  const means = judged.map(({ about }) => about.figures.mean)
  const off = middle === null ? 0 : middle - (Math.min(...means) + Math.max(...means)) / 2
  const isAsked = warmer > 0 || colder > 0 || Math.abs(off) > offMiddle
  if (!isAsked) return []
  const by =
    warmer > 0
      ? Math.min(mayWarm, Math.max(warmer, off))
      : colder > 0
        ? -Math.min(mayCool, Math.max(colder, -off))
        : off
  const isWarmer = by > 0
  const probe = sensors.find(({ sensor }) => sensor === gradient?.coldest)
  const why =
    warmer > 0 && probe !== undefined && gradient !== null && gradient.difference > gradient.allowed
      ? say(' {probe} lies in the coldest spot: measure there again after the change.', { probe: probe.name })
      : ''
  const how = hasThermostat(kind)
    ? isWarmer
      ? say('Turn the thermostat warmer by about {kelvin}, wait a day and look again.', {
          kelvin: kelvin(by),
        })
      : say('Turn the thermostat colder by about {kelvin}, wait a day and look again.', {
          kelvin: kelvin(by),
        })
    : isWarmer
      ? say('It should be warmer by about {kelvin}: insulate it more, or move it to a warmer spot.', {
          kelvin: kelvin(by),
        })
      : say('It should be colder by about {kelvin}: air it more, or move it to a colder spot.', {
          kelvin: kelvin(by),
        })
  return [{ about: 'thermostat', says: how + why }]
}

/** Between the narrowest low and high of all; null where one is missing or nothing is left between. */
function middleOf(limits: readonly (readonly HoldLimit[])[]): number | null {
  const of = (name: 'low' | 'high') =>
    limits.flatMap((some) => some.filter(({ limit }) => limit === name).map(({ value }) => value))
  const [low, high] = [Math.max(...of('low')), Math.min(...of('high'))]
  return Number.isFinite(low) && Number.isFinite(high) && low < high ? (low + high) / 2 : null
}

const hasThermostat = (kind: PlaceKind): boolean => {
  switch (kind) {
    case 'fridge':
    case 'coldRoom':
    case 'box':
    case 'enclosure':
      return true
    case 'frame':
    case 'culture':
    case 'room':
      return false
    default:
      return kind satisfies never
  }
}
