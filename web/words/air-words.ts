import type { PlaceAir } from '../../schemas/air.ts'
import { celsius } from '../../schemas/amounts.ts'
import type { Kilopascal } from '../../schemas/units.ts'
import { humidityOfDeficit } from '../../shared/air/air-walk.ts'
import { usualReference } from '../../shared/season/metabolic-days.ts'
import { durationWords } from '../../shared/telling/words.ts'
import type { AirNow, MoistAir, RoomAir, Surface } from '../place/air-now.ts'
import type { Tell } from './tell.ts'
import { say } from '../../shared/words/say.ts'

/** What is known of the air now, a sentence each; what can wait least comes first. */
export function airSentences(now: AirNow, room: RoomAir | null, tell: Tell): string[] {
  const sentences: string[] = []
  if (now.kind === 'known') {
    const { air, of, surface } = now
    sentences.push(pointWords(air, of, tell))
    sentences.push(surface === null ? noSurface : surfaceWords(surface, tell))
    sentences.push(deficitWords(air, tell))
  }
  if (now.kind === 'old') sentences.push(say('Its humidity is too old to say anything of the air now.'))
  if (room !== null) sentences.push(roomWords(room, tell))
  return sentences
}

/** How far the air itself is from wetting something. */
function pointWords({ celsius: warm, point, isFrost }: MoistAir, of: string | null, tell: Tell): string {
  const whose = of === null ? say('The air') : say('The air of {of}', { of })
  const margin = tell.difference(Math.max(0, warm - point))
  return say('{whose} is {margin} from its {part} point, {value}.', {
    whose,
    margin,
    part: isFrost ? say('frost') : say('dew'),
    value: tell.value(point, 'temperature'),
  })
}

/** What that does to the coldest spot measured. */
function surfaceWords({ name, celsius: cold, wetting }: Surface, tell: Tell): string {
  const at = tell.value(cold, 'temperature')
  const spot = say('{name}, the coldest spot measured at {at},', { name, at })
  switch (wetting.kind) {
    case 'dew':
      return say('Water condenses on {spot} and on what is colder: wet and cold together is dangerous.', {
        spot,
      })
    case 'frost':
      return say('Frost forms on {spot} and on what is colder.', { spot })
    case 'nearDew':
      return say(
        'The coldest wall may get wet: {spot} is {difference} above that point, less than the sensors can tell.',
        { spot, difference: tell.difference(wetting.margin) },
      )
    case 'nearFrost':
      return say(
        'Frost may form on the coldest wall: {spot} is {difference} above that point, less than the sensors can tell.',
        { spot, difference: tell.difference(wetting.margin) },
      )
    case 'dry':
      return say(
        'No spot measured gets wet: the coldest, {name} at {at}, is {difference} above that point.',
        { name, at, difference: tell.difference(wetting.margin) },
      )
    case 'unknown':
      return noSurface
    default:
      return wetting satisfies never
  }
}

const noSurface = say('No second thermometer shares this air: whether a colder wall gets wet is not known.')

/** How much more water the air could take up now. */
const deficitWords = ({ deficit }: MoistAir, tell: Tell): string =>
  say('Its vapour-pressure deficit is {kilopascals}: so much more water it could take up.', {
    kilopascals: kilopascals(deficit, tell),
  })

/** What the room's air does to what is cold in here. */
function roomWords({ name, air, surface, hasDoor }: RoomAir, tell: Tell): string {
  const whose = say('{part} air of {name} ({part2} point {value})', {
    part: hasDoor ? say('When the door opens, the') : say('The'),
    name,
    part2: air.isFrost ? say('frost') : say('dew'),
    value: tell.value(air.point, 'temperature'),
  })
  const cold = say('{surface} at {value}', {
    surface: surface.name,
    value: tell.value(surface.celsius, 'temperature'),
  })
  switch (surface.wetting.kind) {
    case 'dew':
      return say('{whose} wets what is as cold as {cold}{part}.', {
        whose,
        cold,
        part: hasDoor ? say(': open it shortly') : '',
      })
    case 'frost':
      return say('{whose} leaves frost on what is as cold as {cold}{part}.', {
        whose,
        cold,
        part: hasDoor ? say(': open it shortly') : '',
      })
    case 'nearDew':
    case 'nearFrost':
      return say('{whose} may wet what is as cold as {cold}{part}.', {
        whose,
        cold,
        part: hasDoor ? say(': open it shortly') : '',
      })
    case 'dry':
    case 'unknown':
      return say('{whose} wets nothing measured in here.', { whose })
    default:
      return surface.wetting satisfies never
  }
}

/** How the last day dried what is uncovered, and how long its coldest spot was wet; only what is known. */
export function dayOfAirSentences(day: PlaceAir, tell: Tell): string[] {
  if (day.humidity === null) return []
  const lasted = day.to - day.from
  const stretch = say('In the last {part}', { part: lasted === dayMs ? '24 h' : durationWords(lasted) })
  if (day.meanDeficit === null) return [say('{stretch} nothing is known of the air.', { stretch })]
  const partly =
    day.unknown > 0 ? say(' Of {duration} nothing is known.', { duration: durationWords(day.unknown) }) : ''
  const like = humidityOfDeficit(day.meanDeficit as Kilopascal, celsius(usualReference))
  const asDry =
    like === null
      ? ''
      : say(', like air of {value} at {value2}', {
          value: tell.value(like, 'humidity'),
          value2: tell.value(usualReference, 'temperature'),
        })
  const sum = say('{kilopascals} on average, {rounded} kPa·h in all', {
    kilopascals: kilopascals(day.meanDeficit, tell),
    rounded: rounded(day.drying, tell),
  })
  return [
    say('{stretch} the deficit was {sum}{asDry}.{partly}', { stretch, sum, asDry, partly }),
    ...wettingSentence(day, stretch),
  ]
}

function wettingSentence({ wetting }: PlaceAir, stretch: string): string[] {
  if (wetting === null || wetting.wet + wetting.near + wetting.dry === 0) return []
  const { wet, near } = wetting
  if (wet + near === 0) return [say('{stretch} no spot measured came near the dew point.', { stretch })]
  const nearly = near > 0 ? say('for {duration} too near it to tell', { duration: durationWords(near) }) : ''
  if (wet === 0)
    return [say('{stretch} the coldest spot was never at the dew point, but {nearly}.', { stretch, nearly })]
  const also = nearly === '' ? '' : say(', and {nearly}', { nearly })
  return [
    say('{stretch} the coldest spot was at or below the dew point for {duration}{also}.', {
      stretch,
      duration: durationWords(wet),
      also,
    }),
  ]
}

const kilopascals = (value: number, tell: Tell): string =>
  say('{rounded} kPa', { rounded: rounded(value, tell) })

/** Two places: a kilopascal's hundredth is what a good hygrometer tells in the cold. */
const rounded = (value: number, tell: Tell): string => tell.count(Number(value.toFixed(2)))

const dayMs = 86_400_000
