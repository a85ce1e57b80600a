import type { PlaceAir } from '../../schemas/air.ts'
import { celsius } from '../../schemas/amounts.ts'
import type { Kilopascal } from '../../schemas/units.ts'
import { humidityOfDeficit } from '../../shared/air/air-walk.ts'
import { usualReference } from '../../shared/season/metabolic-days.ts'
import { durationWords } from '../../shared/telling/words.ts'
import type { AirNow, MoistAir, RoomAir, Surface } from '../place/air-now.ts'
import type { Tell } from './tell.ts'

/** What is known of the air now, a sentence each; what can wait least comes first. */
export function airSentences(now: AirNow, room: RoomAir | null, tell: Tell): string[] {
  const sentences: string[] = []
  if (now.kind === 'known') {
    const { air, of, surface } = now
    sentences.push(pointWords(air, of, tell))
    sentences.push(surface === null ? noSurface : surfaceWords(surface, tell))
    sentences.push(deficitWords(air, tell))
  }
  if (now.kind === 'old') sentences.push('Its humidity is too old to say anything of the air now.')
  if (room !== null) sentences.push(roomWords(room, tell))
  return sentences
}

/** How far the air itself is from wetting something. */
function pointWords({ celsius: warm, point, isFrost }: MoistAir, of: string | null, tell: Tell): string {
  const whose = of === null ? 'The air' : `The air of ${of}`
  const margin = tell.difference(Math.max(0, warm - point))
  return `${whose} is ${margin} from its ${isFrost ? 'frost' : 'dew'} point, ${tell.value(point, 'temperature')}.`
}

/** What that does to the coldest spot measured. */
export function surfaceWords({ name, celsius: cold, wetting }: Surface, tell: Tell): string {
  const at = tell.value(cold, 'temperature')
  const spot = `${name}, the coldest spot measured at ${at},`
  switch (wetting.kind) {
    case 'dew':
      return `Water condenses on ${spot} and on what is colder: wet and cold together is dangerous.`
    case 'frost':
      return `Frost forms on ${spot} and on what is colder.`
    case 'nearDew':
      return `The coldest wall may get wet: ${spot} is ${tell.difference(wetting.margin)} above that point, less than the sensors can tell.`
    case 'nearFrost':
      return `Frost may form on the coldest wall: ${spot} is ${tell.difference(wetting.margin)} above that point, less than the sensors can tell.`
    case 'dry':
      return `No spot measured gets wet: the coldest, ${name} at ${at}, is ${tell.difference(wetting.margin)} above that point.`
    case 'unknown':
      return noSurface
    default:
      return wetting satisfies never
  }
}

const noSurface = 'No second thermometer shares this air: whether a colder wall gets wet is not known.'

/** How much more water the air could take up now. */
const deficitWords = ({ deficit }: MoistAir, tell: Tell): string =>
  `Its vapour-pressure deficit is ${kilopascals(deficit, tell)}: so much more water it could take up.`

/** What the room's air does to what is cold in here. */
function roomWords({ name, air, surface, hasDoor }: RoomAir, tell: Tell): string {
  const whose = `${hasDoor ? 'When the door opens, the' : 'The'} air of ${name} (${air.isFrost ? 'frost' : 'dew'} point ${tell.value(air.point, 'temperature')})`
  const cold = `${surface.name} at ${tell.value(surface.celsius, 'temperature')}`
  switch (surface.wetting.kind) {
    case 'dew':
      return `${whose} wets what is as cold as ${cold}${hasDoor ? ': open it shortly' : ''}.`
    case 'frost':
      return `${whose} leaves frost on what is as cold as ${cold}${hasDoor ? ': open it shortly' : ''}.`
    case 'nearDew':
    case 'nearFrost':
      return `${whose} may wet what is as cold as ${cold}${hasDoor ? ': open it shortly' : ''}.`
    case 'dry':
    case 'unknown':
      return `${whose} wets nothing measured in here.`
    default:
      return surface.wetting satisfies never
  }
}

/** How the last day dried what is uncovered, and how long its coldest spot was wet; only what is known. */
export function dayOfAirSentences(day: PlaceAir, tell: Tell): string[] {
  if (day.humidity === null) return []
  const lasted = day.to - day.from
  const stretch = `In the last ${lasted === dayMs ? '24 h' : durationWords(lasted)}`
  if (day.meanDeficit === null) return [`${stretch} nothing is known of the air.`]
  const partly = day.unknown > 0 ? ` Of ${durationWords(day.unknown)} nothing is known.` : ''
  const like = humidityOfDeficit(day.meanDeficit as Kilopascal, celsius(usualReference))
  const asDry =
    like === null
      ? ''
      : `, like air of ${tell.value(like, 'humidity')} at ${tell.value(usualReference, 'temperature')}`
  const sum = `${kilopascals(day.meanDeficit, tell)} on average, ${rounded(day.drying, tell)}\u202fkPa·h in all`
  return [`${stretch} the deficit was ${sum}${asDry}.${partly}`, ...wettingSentence(day, stretch)]
}

function wettingSentence({ wetting }: PlaceAir, stretch: string): string[] {
  if (wetting === null || wetting.wet + wetting.near + wetting.dry === 0) return []
  const { wet, near } = wetting
  if (wet + near === 0) return [`${stretch} no spot measured came near the dew point.`]
  const nearly = near > 0 ? `for ${durationWords(near)} too near it to tell` : ''
  if (wet === 0) return [`${stretch} the coldest spot was never at the dew point, but ${nearly}.`]
  const also = nearly === '' ? '' : `, and ${nearly}`
  return [`${stretch} the coldest spot was at or below the dew point for ${durationWords(wet)}${also}.`]
}

const kilopascals = (value: number, tell: Tell): string => `${rounded(value, tell)}\u202fkPa`

/** Two places: a kilopascal's hundredth is what a good hygrometer tells in the cold. */
const rounded = (value: number, tell: Tell): string => tell.count(Number(value.toFixed(2)))

const dayMs = 86_400_000
