import type { LimitName } from '../../schemas/band.ts'
import type { Guidance, SourcedLimit, SpeciesProfile } from '../../schemas/species.ts'
import { figureOf } from '../animals/subject.ts'
import { type FigureUnit, figuresIn } from './figures-in.ts'
import { say } from '../words/say.ts'

/** What in a profile contradicts itself, each in one sentence. */
export function faultsIn(profile: SpeciesProfile): readonly string[] {
  return [
    ...kindFaults(profile),
    ...(['strict', 'lenient'] as const).flatMap((guidance) => [
      ...bandsOf(profile).flatMap(({ words, limits }) => orderFaults(words, limits, guidance)),
      ...frostFaults(profile, guidance),
      ...seasonFaults(profile, guidance),
    ]),
    ...lenienceFaults(profile),
    ...boundFaults(profile),
  ].filter((sentence, i, all) => all.indexOf(sentence) === i)
}

/** What can be meant at all; beyond it a hand has slipped. °C up to the hottest place to bask, a year, a giant tortoise. */
export const figureBounds: Readonly<Record<FigureUnit, readonly [least: number, most: number]>> = {
  celsius: [0, 60],
  humidity: [0, 100],
  kelvinPerWeek: [0.5, 20],
  weeks: [0, 52],
  days: [0.5, 365],
  months: [0, 120],
  years: [0, 30],
  grams: [0, 300_000],
  percent: [0, 50],
  hours: [0, 24],
}

const ascending = ['lowCritical', 'low', 'high', 'highCritical'] as const satisfies readonly LimitName[]

function bandsOf({ hold, active }: SpeciesProfile) {
  return [
    { words: say('temperature awake'), limits: active.temperature },
    { words: say('humidity awake'), limits: active.humidity },
    { words: say('temperature in hold'), limits: hold?.temperature ?? [] },
    { words: say('humidity in hold'), limits: hold?.humidity ?? [] },
  ]
}

function kindFaults({ winter, hold, season }: SpeciesProfile): string[] {
  const isCooled = winter !== 'never'
  return (hold !== undefined) === isCooled && (season !== undefined) === isCooled
    ? []
    : [
        isCooled
          ? say('An animal that is cooled needs limits and figures of its hold.')
          : say('An animal that must never go down has neither limits nor figures of a hold.'),
      ]
}

function orderFaults(words: string, limits: readonly SourcedLimit[], guidance: Guidance): string[] {
  if (new Set(limits.map(({ limit }) => limit)).size < limits.length)
    return [say('A limit of {words} stands there twice.', { words })]
  const values = ascending.flatMap((name) => {
    const limit = limits.find((one) => one.limit === name)
    return limit === undefined ? [] : [figureOf(limit, guidance)]
  })
  return values.every((value, i) => i === 0 || value > (values[i - 1] ?? -Infinity))
    ? []
    : [say('The limits of {words} must rise from the critical low one to the critical high one.', { words })]
}

/** No figure of supercooling is a limit: contact with ice ends it. */
function frostFaults({ active, hold }: SpeciesProfile, guidance: Guidance): string[] {
  const cold = [...active.temperature, ...(hold?.temperature ?? [])].filter(
    (one) => one.limit === 'lowCritical' && figureOf(one, guidance) <= 0,
  )
  return cold.length === 0 ? [] : [say('A critical low limit must stand above 0 °C: there water freezes.')]
}

function seasonFaults({ hold, season }: SpeciesProfile, guidance: Guidance): string[] {
  if (hold === undefined || season === undefined) return []
  const of = (name: LimitName): number | undefined => {
    const limit = hold.temperature.find((one) => one.limit === name)
    return limit === undefined ? undefined : figureOf(limit, guidance)
  }
  const aim = figureOf(season.aim, guidance)
  const below = of('low') ?? of('lowCritical') ?? -Infinity
  const above = of('high') ?? of('highCritical') ?? Infinity
  const most = figureOf(season.mostWeeks, guidance)
  const youngMost = season.youngMostWeeks === undefined ? 0 : figureOf(season.youngMostWeeks, guidance)
  return [
    ...(below < aim && aim < above ? [] : [say('What the hold aims at must lie inside its limits.')]),
    ...(aim < figureOf(season.warm, guidance)
      ? []
      : [say('It must be cooled from a warmth above its hold.')]),
    ...(figureOf(season.usualWeeks, guidance) <= most
      ? []
      : [say('The usual length of hold is longer than the longest.')]),
    ...(youngMost <= most ? [] : [say('A young one may not be held longer than an adult.')]),
  ]
}

/** Lenient advice allows at least what strict advice allows. */
function lenienceFaults(profile: SpeciesProfile): string[] {
  const figures = figuresIn(profile).filter(({ figure, lenient }) => {
    if (figure.lenient === undefined) return false
    return lenient === 'more'
      ? figure.lenient < figure.value
      : lenient === 'less' && figure.lenient > figure.value
  })
  const limits = bandsOf(profile).flatMap(({ words, limits }) =>
    limits
      .filter(({ limit, value, lenient = value }) =>
        limit.startsWith('low') ? lenient > value : lenient < value,
      )
      .map(() => words),
  )
  return [...figures.map((one) => one.words), ...limits].map((words) =>
    say('By lenient guidance it is stricter than by strict: {words}.', { words }),
  )
}

function boundFaults(profile: SpeciesProfile): string[] {
  return figuresIn(profile)
    .filter(({ figure, unit }) => {
      const [least, most] = figureBounds[unit]
      return [figure.value, figure.lenient ?? figure.value].some((value) => value < least || value > most)
    })
    .map(({ words, unit }) =>
      say('{words}: from {least} to {most}.', {
        words,
        least: figureBounds[unit][0],
        most: figureBounds[unit][1],
      }),
    )
}
