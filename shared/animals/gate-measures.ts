import type { GateItem } from '../../schemas/season.ts'
import type { Figure } from '../../schemas/species.ts'
import { days } from '../../schemas/amounts.ts'
import { durationWords } from '../telling/words.ts'
import { localDate } from '../time/wall.ts'
import { countWords } from './day-words.ts'
import { gateItem } from './gate-item.ts'
import { standingTo } from './limit-words.ts'
import { areFull } from './months.ts'
import { isYoungerThan, lightWords } from './plan-conflicts.ts'
import { figureOf, lastOf, type Subject } from './subject.ts'

/** A weigh-in counts for so long before it goes down, its last moment included. Derived: two weekly weighings. */
const weighedWithin = days(14)

/** Old enough for a first hold; the latest day on which it can have hatched counts. */
export function ageItem(subject: Subject): GateItem {
  const { animal, profile, guidance, now, timeZone } = subject
  const least = profile.season?.leastYears
  if (least === undefined) return gateItem('age', 'met', 'No least age is published for this species.')
  const years = figureOf(least, guidance)
  const isKnown = animal.hatched !== undefined || animal.ageClass !== undefined
  if (!isKnown && years > 0)
    return gateItem(
      'age',
      'missing',
      `Say when it hatched, or that it is grown: ${yearWords(years)} are asked.`,
      least,
    )
  // A juvenile without a date is of no known age, and less than grown.
  const isVague = animal.hatched === undefined && animal.ageClass === 'juvenile'
  if (isVague && years > 0)
    return gateItem('age', 'missing', `Say when it hatched: ${yearWords(years)} are asked.`, least)
  const on = localDate(now, timeZone)
  const standing = standingTo(least, guidance, (asked) => isYoungerThan(subject, asked, on))
  switch (standing) {
    case 'past':
      return gateItem('age', 'against', `It is not yet ${yearWords(years)} old.`, least)
    case 'note':
      return gateItem('age', 'met', `Stricter advice is to wait until ${yearWords(least.value)}.`, least)
    case 'kept':
      return gateItem('age', 'met', 'It is old enough.', least)
    default:
      return standing satisfies never
  }
}

/** Heavy enough; the last weigh-in counts, exactly the least passes. */
export function massItem(subject: Subject): GateItem {
  const least = subject.profile.season?.leastGrams
  if (least === undefined) return gateItem('mass', 'met', 'No least mass is published for this species.')
  const last = lastOf(subject.history, 'weighed', subject.now)
  if (last === undefined)
    return gateItem(
      'mass',
      'missing',
      `Weigh it: at least ${figureOf(least, subject.guidance)} g are asked.`,
      least,
    )
  const { grams } = last.note
  const standing = standingTo(least, subject.guidance, (asked) => grams < asked)
  if (standing === 'kept') return gateItem('mass', 'met', `It weighs ${grams} g, which is enough.`, least)
  return gateItem(
    'mass',
    standing === 'past' ? 'against' : 'met',
    lightWords(subject, grams, standing),
    least,
  )
}

/** Long enough with this keeper. */
export function keptItem({ animal, profile, guidance, now, timeZone }: Subject): GateItem {
  const least: Figure | undefined = profile.season?.leastMonthsKept
  if (least === undefined)
    return gateItem('kept', 'met', 'How long it has been here does not matter for this species.')
  const months = figureOf(least, guidance)
  if (months <= 0) return gateItem('kept', 'met', 'It may go down in its first winter here.', least)
  if (animal.since === undefined)
    return gateItem(
      'kept',
      'missing',
      `Say since when it has been with you: ${countWords(months, 'month')} are asked before a first winter here.`,
      least,
    )
  return areFull(animal.since, months, localDate(now, timeZone))
    ? gateItem('kept', 'met', 'It has been with you long enough.', least)
    : gateItem('kept', 'against', `It has not been with you for ${countWords(months, 'month')} yet.`, least)
}

export function weighedItem({ history, now }: Subject): GateItem {
  const last = lastOf(history, 'weighed', now)
  if (last === undefined) return gateItem('weighed', 'missing', 'It has never been weighed.')
  const age = now - last.at
  return age <= weighedWithin
    ? gateItem('weighed', 'met', `Weighed ${durationWords(age)} ago: ${last.note.grams} g.`)
    : gateItem(
        'weighed',
        'missing',
        `Weigh it again: the last time was ${countWords(Math.floor(age / days(1)), 'day')} ago, and at most 14 days count.`,
      )
}

const yearWords = (years: number): string => countWords(years, 'year')
