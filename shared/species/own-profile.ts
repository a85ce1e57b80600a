import type { SpeciesId } from '../../schemas/ids.ts'
import type { Figure, SourcedLimit, SpeciesProfile } from '../../schemas/species.ts'
import { faultsIn } from './faults.ts'
import { figuresIn } from './figures-in.ts'
import { quantityWord } from '../telling/words.ts'
import { say } from '../words/say.ts'

/** Ids of the keeper's own begin so: the catalogue may grow without taking one of them. */
const ownPrefix = 'own-'

export interface OwnObjection {
  readonly error:
    | 'badId'
    | 'catalogued'
    | 'noReason'
    | 'noSuchSpecies'
    | 'noLimits'
    | 'noSource'
    | 'mustNotGoDown'
    | 'ruleNotValid'
    | 'inconsistent'
  readonly sentence: string
}

/** Why a profile of the keeper's own cannot stand beside the others; null when it can. */
export function objectionToOwn(
  profile: SpeciesProfile,
  profileOf: (species: SpeciesId) => SpeciesProfile | undefined,
): OwnObjection | null {
  const { own } = profile
  const known = profileOf(profile.id)
  if (known !== undefined && known.own === undefined)
    return {
      error: 'catalogued',
      sentence: say(
        '{common} stands in the catalogue and cannot be changed; make a profile of your own from it.',
        { common: known.common },
      ),
    }
  if (!profile.id.startsWith(ownPrefix))
    return {
      error: 'badId',
      sentence: say('The id of a profile of your own begins with {ownPrefix}.', { ownPrefix }),
    }
  if (own === undefined)
    return {
      error: 'noReason',
      sentence: say('A profile of your own needs the one that it is made from, and a reason.'),
    }
  const origin = own.from === profile.id ? undefined : profileOf(own.from)
  if (origin === undefined)
    return {
      error: 'noSuchSpecies',
      sentence: say('No profile is known for the species {species}, from which it is made.', {
        species: own.from,
      }),
    }
  if (origin.winter === 'never' && (profile.winter !== 'never' || profile.hold !== undefined))
    return {
      error: 'mustNotGoDown',
      sentence: say('{common} ({latin}) must not go down for winter, nor may a profile made from it.', {
        common: origin.common,
        latin: origin.latin,
      }),
    }
  const rule = profile.condition.find((one) => !origin.condition.includes(one))
  if (rule !== undefined)
    return {
      error: 'ruleNotValid',
      sentence: say('The rule of condition {rule} is not valid for {latin}.', { rule, latin: origin.latin }),
    }
  return limitsMissing(profile) ?? inconsistent(profile) ?? sourceMissing(profile, origin)
}

/** A species without limits of its own is watched by nothing. */
function limitsMissing({ active, hold }: SpeciesProfile): OwnObjection | null {
  const has = (limits: readonly SourcedLimit[], name: SourcedLimit['limit']): boolean =>
    limits.some(({ limit }) => limit === name)
  if (!has(active.temperature, 'lowCritical') && !has(active.temperature, 'low'))
    return { error: 'noLimits', sentence: say('Awake it needs a low limit of temperature.') }
  if (hold !== undefined && !(has(hold.temperature, 'lowCritical') && has(hold.temperature, 'highCritical')))
    return {
      error: 'noLimits',
      sentence: say('In hold it needs a critical low and a critical high limit of temperature.'),
    }
  return null
}

function inconsistent(profile: SpeciesProfile): OwnObjection | null {
  const [sentence] = faultsIn(profile)
  return sentence === undefined ? null : { error: 'inconsistent', sentence }
}

/** A number that its keeper changed may not go on under the name of the publication that says another. */
function sourceMissing(profile: SpeciesProfile, origin: SpeciesProfile): OwnObjection | null {
  const before = sourcedIn(origin)
  for (const [path, { words, figure }] of sourcedIn(profile)) {
    const was = before.get(path)?.figure
    if (was === undefined || was.source !== figure.source) continue
    if (was.value !== figure.value || (was.lenient ?? was.value) !== (figure.lenient ?? figure.value))
      return {
        error: 'noSource',
        sentence: say('{words}: {value} is not what the source beside it says; say where it comes from.', {
          words,
          value: figure.value,
        }),
      }
  }
  return null
}

interface Sourced {
  readonly words: string
  readonly figure: Figure
}

function sourcedIn(profile: SpeciesProfile): ReadonlyMap<string, Sourced> {
  const sourced = new Map<string, Sourced>(figuresIn(profile).map((one) => [one.path, one]))
  for (const phase of ['active', 'hold'] as const)
    for (const quantity of ['temperature', 'humidity'] as const)
      for (const figure of profile[phase]?.[quantity] ?? [])
        sourced.set(`${phase}.${quantity}.${figure.limit}`, {
          words:
            phase === 'hold'
              ? say('A limit of {quantity} in hold', { quantity: quantityWord(quantity) })
              : say('A limit of {quantity} awake', { quantity: quantityWord(quantity) }),
          figure,
        })
  return sourced
}
