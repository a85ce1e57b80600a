import { days } from '../../../schemas/amounts.ts'
import type { Taxon } from '../../../schemas/species.ts'
import { isYoung } from '../age.ts'
import { linesOf, type Subject } from '../subject.ts'
import { inOrder, weighInsOf } from '../weigh-ins.ts'
import { lengthCountsFor } from './inputs.ts'
import { expectedMassOfLength } from './indices.ts'
import { say } from '../../words/say.ts'

/** A mass so many times what its length lets expect, or less than that part of it, is looked at again. Derived. */
const doubtFactor = 3
/**
 * A mass that changes by more than half within a month is looked at again. Derived: a snake's meal is a quarter
 * of it.
 */
const jumpWithin = days(30)
const jump = 1.5
/** Two lengths this much apart are not of one animal within a year, unless it is young. Derived. */
const lengthJump = 1.5
/** Nobody grows shorter; a snake's length is measured no better than this. Derived. */
const shrinks = 1.2

/** Why mass and length cannot both be right, in one sentence with the likely slip; null: they can. */
export function unitSlip(taxon: Taxon, grams: number, lengthCm: number): string | null {
  if (fits(taxon, grams, lengthCm)) return null
  const odd = say('{lengthCm} cm and {grams} g do not go together', { lengthCm, grams })
  const oddness = ({ lengthBy, massBy, rarity }: Slip): number =>
    off(taxon, grams * massBy, lengthCm * lengthBy) + rarity
  const likely = slips
    .filter(({ lengthBy, massBy }) => fits(taxon, grams * massBy, lengthCm * lengthBy))
    .toSorted((a, b) => oddness(a) - oddness(b))[0]
  return likely === undefined
    ? say('{odd}: look at both again.', { odd })
    : say('{odd}: is {is}? Enter g and cm.', { odd, is: likely.is })
}

/** Of the newest weigh-in and measurement: against each other, else against the ones before. */
export function doubtOf(subject: Subject): string | null {
  const { profile, history, now } = subject
  const masses = weighInsOf(subject)
  const lengths = inOrder(linesOf(history, 'measured')).filter(
    ({ at, note }) => at <= now && note.length !== undefined,
  )
  const [mass, length] = [masses.at(-1), lengths.at(-1)]
  const cm = length?.note.length
  const counts = isYoung(subject) ? lengthCountsFor.young : lengthCountsFor.grown
  if (
    mass !== undefined &&
    length !== undefined &&
    cm !== undefined &&
    Math.abs(mass.at - length.at) <= counts
  ) {
    const slip = unitSlip(profile.taxon, mass.note.grams, cm)
    if (slip !== null) return slip
  }
  const before = masses.at(-2)
  if (
    mass !== undefined &&
    before !== undefined &&
    mass.at - before.at <= jumpWithin &&
    isApart(mass.note.grams, before.note.grams, jump)
  )
    return say('{grams} g after {grams2} g within a month: look at both weigh-ins again.', {
      grams: mass.note.grams,
      grams2: before.note.grams,
    })
  const shorter = lengths.at(-2)?.note.length
  if (cm !== undefined && shorter !== undefined && (cm < shorter / shrinks || cm > shorter * lengthJump))
    return say('{cm} cm after {shorter} cm: look at both measurements again.', { cm, shorter })
  return scoreDoubt(subject)
}

function scoreDoubt({ history, now }: Subject): string | null {
  const last = inOrder(linesOf(history, 'scored')).findLast(({ at }) => at <= now)
  if (last === undefined || last.note.scale !== 'visualFive' || last.note.score <= 5) return null
  return say('A score of {score} is not on the scale of 1 to 5: was it the one of 1 to 9?', {
    score: last.note.score,
  })
}

type Slip = (typeof slips)[number]

/**
 * What hands do: the wrong unit on the tape or on the scale; `rarity` decides where two would fit as well.
 * Derived.
 */
const slips = [
  { lengthBy: 1 / 10, massBy: 1, is: say('the length in millimetres'), rarity: 0 },
  { lengthBy: 2.54, massBy: 1, is: say('the length in inches'), rarity: 0.2 },
  { lengthBy: 100, massBy: 1, is: say('the length in metres'), rarity: 0.5 },
  { lengthBy: 1, massBy: 1000, is: say('the mass in kilograms'), rarity: 0 },
  { lengthBy: 1, massBy: 28.349_523_125, is: say('the mass in ounces'), rarity: 0.3 },
  { lengthBy: 1, massBy: 453.592_37, is: say('the mass in pounds'), rarity: 0.5 },
] as const

/** How far from what is expected, as a logarithm of the ratio. */
const off = (taxon: Taxon, grams: number, lengthCm: number): number =>
  Math.abs(Math.log(grams / expectedMassOfLength(taxon, lengthCm)))

const fits = (taxon: Taxon, grams: number, lengthCm: number): boolean =>
  off(taxon, grams, lengthCm) <= Math.log(doubtFactor) + 1e-12

const isApart = (one: number, other: number, factor: number): boolean =>
  Math.max(one, other) > factor * Math.min(one, other)
