import type {
  AwakeFigures,
  Figure,
  MassFigures,
  SeasonFigures,
  SpeciesProfile,
} from '../../schemas/species.ts'
import { say } from '../words/say.ts'

/** What a figure is counted in. */
export type FigureUnit =
  | 'celsius'
  | 'humidity'
  | 'kelvinPerWeek'
  | 'weeks'
  | 'days'
  | 'months'
  | 'years'
  | 'grams'
  | 'percent'
  | 'hours'

/** What the lenient of two figures does: allows more, or asks less; `either` where neither is the stricter. */
type Lenience = 'more' | 'less' | 'either'

export interface FigureKind {
  readonly words: string
  readonly unit: FigureUnit
  readonly lenient: Lenience
}

/** One figure of a profile that is no limit of a band, with what it is. */
export interface KnownFigure extends FigureKind {
  /** `season.aim`, `mass.totalPercent`, `awake.day.from` */
  readonly path: string
  readonly figure: Figure
}

/** The order in which they are shown. */
export const seasonKinds = {
  usualWeeks: { words: say('Usual length of hold'), unit: 'weeks', lenient: 'either' },
  mostWeeks: { words: say('Longest hold'), unit: 'weeks', lenient: 'more' },
  youngMostWeeks: {
    words: say('Longest hold of a young one, or of a first winter'),
    unit: 'weeks',
    lenient: 'more',
  },
  leastYears: { words: say('Youngest that goes down'), unit: 'years', lenient: 'less' },
  leastGrams: { words: say('Lightest that goes down'), unit: 'grams', lenient: 'less' },
  leastMonthsKept: { words: say('With this keeper before a first winter'), unit: 'months', lenient: 'less' },
  feedUpWeeks: { words: say('Good feeding before the fast'), unit: 'weeks', lenient: 'less' },
  fastWeeks: { words: say('Fast before it is cooled'), unit: 'weeks', lenient: 'less' },
  fastWarm: { words: say('Kept as warm while it fasts'), unit: 'celsius', lenient: 'less' },
  batheDays: { words: say('Bathed in the fast every'), unit: 'days', lenient: 'more' },
  warm: { words: say('Cooled from'), unit: 'celsius', lenient: 'either' },
  coolPerWeek: { words: say('Fastest cooling'), unit: 'kelvinPerWeek', lenient: 'more' },
  lightFrom: { words: say('Light when cooling begins'), unit: 'hours', lenient: 'either' },
  lightTo: { words: say('Light when it ends'), unit: 'hours', lenient: 'either' },
  aim: { words: say('Hold aims at'), unit: 'celsius', lenient: 'either' },
  weighDays: { words: say('Weighed in hold every'), unit: 'days', lenient: 'more' },
  lookDays: { words: say('Looked at in hold every'), unit: 'days', lenient: 'more' },
  airDays: { words: say('Air changed in hold every'), unit: 'days', lenient: 'more' },
  warmUpDays: { words: say('Warmed up over'), unit: 'days', lenient: 'either' },
  firstMealDays: { words: say('Warmth before the first meal'), unit: 'days', lenient: 'either' },
  vetDays: {
    words: say('To a vet when it has not eaten or passed urates after'),
    unit: 'days',
    lenient: 'more',
  },
} as const satisfies Record<keyof SeasonFigures, FigureKind>

const massKinds = {
  monthlyPercent: { words: say('Most that it loses in 30 days'), unit: 'percent', lenient: 'more' },
  totalPercent: { words: say('Most that it loses in all'), unit: 'percent', lenient: 'more' },
} as const satisfies Record<Exclude<keyof MassFigures, 'gainIsUsual'>, FigureKind>

/** Every figure of a profile but the limits of its bands, in the order in which they are shown. */
export function figuresIn(profile: SpeciesProfile): readonly KnownFigure[] {
  const { season, mass, awake } = profile
  const known = (path: string, kind: FigureKind, figure: Figure | undefined): KnownFigure[] =>
    figure === undefined ? [] : [{ ...kind, path, figure }]
  return [
    ...keysOf(seasonKinds).flatMap((key) => known(`season.${key}`, seasonKinds[key], season?.[key])),
    ...keysOf(massKinds).flatMap((key) => known(`mass.${key}`, massKinds[key], mass?.[key])),
    ...awakeIn(awake).flatMap(([path, kind, figure]) => known(path, kind, figure)),
  ]
}

function awakeIn(awake: AwakeFigures | undefined) {
  const of = (words: string, unit: FigureUnit): FigureKind => ({ words, unit, lenient: 'either' })
  return [
    ['awake.day.from', of(say('Days from'), 'celsius'), awake?.day?.from],
    ['awake.day.to', of(say('Days up to'), 'celsius'), awake?.day?.to],
    ['awake.night.from', of(say('Nights from'), 'celsius'), awake?.night?.from],
    ['awake.night.to', of(say('Nights up to'), 'celsius'), awake?.night?.to],
    ['awake.basking', of(say('Place to bask'), 'celsius'), awake?.basking],
    ['awake.lightHours', of(say('Light'), 'hours'), awake?.lightHours],
  ] as const
}

const keysOf = <Key extends string>(table: Readonly<Record<Key, unknown>>): Key[] =>
  Object.keys(table) as Key[]
