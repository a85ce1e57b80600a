import type { LimitName } from '../../schemas/band.ts'
import type { SpeciesId } from '../../schemas/ids.ts'
import type { Figure, Guidance, SeasonFigures, SourcedLimit, SpeciesProfile } from '../../schemas/species.ts'
import { figureOf } from '../../shared/animals/subject.ts'
import { isCritical, limitNames, usualFor } from '../../shared/judging/limit-names.ts'
import type { FigureUnit } from '../../shared/species/figures-in.ts'
import { seasonKinds } from '../../shared/species/figures-in.ts'
import { say } from '../../shared/words/say.ts'

/** A number that the form offers. */
export interface Offered {
  readonly path: string
  readonly room: 'hold' | 'active' | 'season'
  readonly words: string
  readonly unit: FigureUnit
  /** As it stands in the profile that the form began with. */
  readonly figure: Figure | null
}

/** What was typed: numbers and sources by path. What is not there was left as it was. */
export interface OwnDraft {
  readonly common: string
  readonly reason: string
  readonly numbers: Readonly<Record<string, string>>
  readonly sources: Readonly<Record<string, string>>
}

const seasonOffered = [
  'aim',
  'warm',
  'coolPerWeek',
  'usualWeeks',
  'mostWeeks',
  'youngMostWeeks',
  'fastWeeks',
  'fastWarm',
  'leastYears',
  'leastGrams',
] as const satisfies readonly (keyof SeasonFigures)[]

const limitWords: Record<LimitName, string> = {
  lowCritical: say('Too cold, critical'),
  low: say('Too cold'),
  high: say('Too warm'),
  highCritical: say('Too warm, critical'),
}

/** The numbers of a profile that the keeper may set: limits of temperature and the lengths of its winter. */
export function offeredOf(profile: SpeciesProfile): readonly Offered[] {
  const limits = (room: 'hold' | 'active'): Offered[] =>
    limitNames.map((limit) => ({
      path: `${room}.${limit}`,
      room,
      words: limitWords[limit],
      unit: 'celsius',
      figure: profile[room]?.temperature.find((one) => one.limit === limit) ?? null,
    }))
  const { season } = profile
  return [
    ...(profile.hold === undefined ? [] : limits('hold')),
    ...limits('active'),
    ...(season === undefined ? [] : seasonOffered).map(
      (key): Offered => ({
        path: `season.${key}`,
        room: 'season',
        words: seasonKinds[key].words,
        unit: seasonKinds[key].unit,
        figure: season?.[key] ?? null,
      }),
    ),
  ]
}

/** What stands in its field. */
export const numberIn = (draft: OwnDraft, { path, figure }: Offered, guidance: Guidance): string =>
  draft.numbers[path] ?? (figure === null ? '' : String(figureOf(figure, guidance)))

export const isChanged = (draft: OwnDraft, offered: Offered, guidance: Guidance): boolean => {
  const typed = draft.numbers[offered.path]?.trim()
  return typed !== undefined && typed !== numberIn({ ...draft, numbers: {} }, offered, guidance)
}

export const usualSource = (reason: string): string =>
  say('set by the keeper: {reason}', { reason: reason.trim() })

/** The profile as the form would save it. A changed number is the keeper's by either guidance. */
export function profileFrom(
  base: SpeciesProfile,
  id: SpeciesId,
  from: SpeciesId,
  draft: OwnDraft,
  guidance: Guidance,
): SpeciesProfile {
  const { common, reason } = draft
  const next: SpeciesProfile = { ...base, id, common: common.trim(), own: { from, reason: reason.trim() } }
  return offeredOf(base)
    .filter((offered) => isChanged(draft, offered, guidance))
    .reduce((profile, offered) => {
      const typed = numberIn(draft, offered, guidance).trim()
      const figure: Figure | null =
        typed === ''
          ? null
          : {
              value: Number(typed),
              source: draft.sources[offered.path]?.trim() || usualSource(reason),
              evidence: 'commonPractice',
            }
      return withFigure(profile, offered, figure)
    }, next)
}

function withFigure(profile: SpeciesProfile, { room, path }: Offered, figure: Figure | null): SpeciesProfile {
  const name = path.slice(room.length + 1)
  if (room === 'season') {
    if (profile.season === undefined) return profile
    const { [name as keyof SeasonFigures]: _, ...others } = profile.season
    // A figure that every season needs and that was emptied is refused by the daemon, with its name
    return { ...profile, season: { ...others, ...(figure !== null && { [name]: figure }) } as SeasonFigures }
  }
  const band = profile[room]
  if (band === undefined) return profile
  const limit = name as LimitName
  const was = band.temperature.find((one) => one.limit === limit)
  const put: SourcedLimit | null =
    figure === null
      ? null
      : {
          ...figure,
          limit,
          inclusive: was?.inclusive ?? true,
          for: was?.for ?? usualFor(limit),
          priority: was?.priority ?? (isCritical(limit) ? 'high' : 'medium'),
        }
  const others = band.temperature.filter((one) => one.limit !== limit)
  return { ...profile, [room]: { ...band, temperature: put === null ? others : [...others, put] } }
}
