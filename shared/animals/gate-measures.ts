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
import { say } from '../words/say.ts'

/** A weigh-in counts for so long before it goes down, its last moment included. Derived: two weekly weighings. */
const weighedWithin = days(14)

/** Old enough for a first hold; the latest day on which it can have hatched counts. */
export function ageItem(subject: Subject): GateItem {
  const { animal, profile, guidance, now, timeZone } = subject
  const least = profile.season?.leastYears
  if (least === undefined) return gateItem('age', 'met', say('No least age is published for this species.'))
  const years = figureOf(least, guidance)
  const isKnown = animal.hatched !== undefined || animal.ageClass !== undefined
  if (!isKnown && years > 0)
    return gateItem(
      'age',
      'missing',
      say('Say when it hatched, or that it is grown: {year} are asked.', { year: yearWords(years) }),
      least,
    )
  // A juvenile without a date is of no known age, and less than grown.
  const isVague = animal.hatched === undefined && animal.ageClass === 'juvenile'
  if (isVague && years > 0)
    return gateItem(
      'age',
      'missing',
      say('Say when it hatched: {year} are asked.', { year: yearWords(years) }),
      least,
    )
  const on = localDate(now, timeZone)
  const standing = standingTo(least, guidance, (asked) => isYoungerThan(subject, asked, on))
  switch (standing) {
    case 'past':
      return gateItem('age', 'against', say('It is not yet {year} old.', { year: yearWords(years) }), least)
    case 'note':
      return gateItem(
        'age',
        'met',
        say('Stricter advice is to wait until {year}.', { year: yearWords(least.value) }),
        least,
      )
    case 'kept':
      return gateItem('age', 'met', say('It is old enough.'), least)
    default:
      return standing satisfies never
  }
}

/** Heavy enough; the last weigh-in counts, exactly the least passes. */
export function massItem(subject: Subject): GateItem {
  const least = subject.profile.season?.leastGrams
  if (least === undefined) return gateItem('mass', 'met', say('No least mass is published for this species.'))
  const last = lastOf(subject.history, 'weighed', subject.now)
  if (last === undefined)
    return gateItem(
      'mass',
      'missing',
      say('Weigh it: at least {figure} g are asked.', { figure: figureOf(least, subject.guidance) }),
      least,
    )
  const { grams } = last.note
  const standing = standingTo(least, subject.guidance, (asked) => grams < asked)
  if (standing === 'kept')
    return gateItem('mass', 'met', say('It weighs {grams} g, which is enough.', { grams }), least)
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
    return gateItem('kept', 'met', say('How long it has been here does not matter for this species.'))
  const months = figureOf(least, guidance)
  if (months <= 0) return gateItem('kept', 'met', say('It may go down in its first winter here.'), least)
  if (animal.since === undefined)
    return gateItem(
      'kept',
      'missing',
      say('Say since when it has been with you: {count} are asked before a first winter here.', {
        count: countWords(months, 'month'),
      }),
      least,
    )
  return areFull(animal.since, months, localDate(now, timeZone))
    ? gateItem('kept', 'met', say('It has been with you long enough.'), least)
    : gateItem(
        'kept',
        'against',
        say('It has not been with you for {count} yet.', { count: countWords(months, 'month') }),
        least,
      )
}

export function weighedItem({ history, now }: Subject): GateItem {
  const last = lastOf(history, 'weighed', now)
  if (last === undefined) return gateItem('weighed', 'missing', say('It has never been weighed.'))
  const age = now - last.at
  return age <= weighedWithin
    ? gateItem(
        'weighed',
        'met',
        say('Weighed {duration} ago: {grams} g.', { duration: durationWords(age), grams: last.note.grams }),
      )
    : gateItem(
        'weighed',
        'missing',
        say('Weigh it again: the last time was {count} ago, and at most 14 days count.', {
          count: countWords(Math.floor(age / days(1)), 'day'),
        }),
      )
}

const yearWords = (years: number): string => countWords(years, 'year')
