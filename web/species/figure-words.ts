import type { LimitName } from '../../schemas/band.ts'
import type {
  Evidence,
  Figure,
  Guidance,
  SourcedLimit,
  SpeciesProfile,
  Taxon,
} from '../../schemas/species.ts'
import { figureOf } from '../../shared/animals/subject.ts'
import type { FigureUnit } from '../../shared/species/figures-in.ts'
import type { Tell } from '../words/tell.ts'
import { inReadersUnits } from '../../shared/words/in-readers-units.ts'
import { say } from '../../shared/words/say.ts'

export const taxonName: Record<Taxon, string> = {
  tortoise: say('Tortoises'),
  turtle: say('Turtles'),
  snake: say('Snakes'),
  lizard: say('Lizards'),
  frog: say('Frogs and toads'),
  salamander: say('Salamanders and newts'),
}

export const winterWords: Record<SpeciesProfile['winter'], string> = {
  deep: say('goes down'),
  cool: say('is cooled lightly'),
  never: say('must never go down'),
}

/** How far a number can be trusted, in a word. */
export const evidenceWord: Record<Evidence, string> = {
  read: say('read'),
  secondHand: say('second-hand'),
  memory: say('from memory'),
  commonPractice: say('common practice'),
  derived: say('derived'),
}

export function figureWords(tell: Tell, value: number, unit: FigureUnit): string {
  const counted = (one: string, more: string): string =>
    `${tell.count(value)} ${Math.abs(value) === 1 ? one : more}`
  switch (unit) {
    case 'celsius':
      return tell.value(value, 'temperature')
    case 'humidity':
      return tell.value(value, 'humidity')
    case 'kelvinPerWeek':
      return inReadersUnits(say('{count} K a week', { count: tell.count(value) }))
    case 'weeks':
      return counted('week', 'weeks')
    case 'days':
      return counted('day', 'days')
    case 'months':
      return counted('month', 'months')
    case 'years':
      return value === 0 ? say('any age') : counted('year', 'years')
    case 'grams':
      return value === 0 ? say('any mass') : `${tell.count(value)} g`
    case 'percent':
      return `${tell.count(value)} %`
    case 'hours':
      return `${tell.count(value)} h`
  }
  return unit satisfies never
}

/** `3.0 °C or below`, `above 8.0 °C` */
export function edgeWords(
  tell: Tell,
  quantity: 'temperature' | 'humidity',
  { limit, inclusive }: Pick<SourcedLimit, 'limit' | 'inclusive'>,
  value: number,
): string {
  const side = isLow(limit) ? say('below') : say('above')
  const words = tell.value(value, quantity)
  return inclusive ? say('{words} or {side}', { words, side }) : `${side} ${words}`
}

const isLow = (limit: LimitName): boolean => limit === 'lowCritical' || limit === 'low'

/** The figure by the guidance that was chosen, and the other one with the name of its guidance. */
export function bothOf(
  figure: Figure,
  guidance: Guidance,
): { readonly chosen: number; readonly other: { readonly by: Guidance; readonly value: number } | null } {
  const chosen = figureOf(figure, guidance)
  const by: Guidance = guidance === 'strict' ? 'lenient' : 'strict'
  const value = figureOf(figure, by)
  return { chosen, other: value === chosen ? null : { by, value } }
}
