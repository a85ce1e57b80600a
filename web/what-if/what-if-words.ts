import type { Alarm } from '../../schemas/alarm.ts'
import type { Spell, SpellPair, WhatIfCaveats, WhatIfResult } from '../../schemas/what-if.ts'
import { alarmHeadline, type Names } from '../../shared/telling/alarm-words.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { soonerBy } from '../../shared/what-if/pairs.ts'
import { say, sayCount } from '../../shared/words/say.ts'

/** Closer together than this nobody was told earlier. */
const tellsEarlier = 60_000

/** `Fridge was too cold at 2.1 °C (limit 3.0 °C)`. */
export function spellWords(spell: Spell, names: Names): string {
  const alarm: Alarm = {
    id: spell.alarm,
    kind: spell.kind,
    place: spell.place,
    sensor: spell.sensor,
    contact: null,
    quantity: spell.quantity,
    limit: spell.limit,
    priority: spell.priority,
    occurrence: 1,
    value: spell.value,
    threshold: spell.threshold,
    ...(spell.isDoubt && spell.threshold !== null ? { guarded: spell.threshold } : {}),
    state: { name: 'normal' },
  }
  return alarmHeadline(alarm, names)
}

/** How the two tellings differ, as a sentence. */
export function pairWords(pair: SpellPair): string {
  const sooner = soonerBy(pair)
  if (sooner === null)
    return pair.happened === null
      ? say('It did not ring, and would have.')
      : say('It rang, and would not have.')
  if (Math.abs(sooner) < tellsEarlier) return say('It would have been told at the same time.')
  const duration = durationWords(Math.abs(sooner))
  return sooner > 0
    ? say('It would have been told {duration} earlier.', { duration })
    : say('It would have been told {duration} later.', { duration })
}

/** What came of it, one sentence after the other; `when` says an instant. */
export function resultWords(
  result: WhatIfResult,
  names: Names,
  when: (at: number) => string,
): readonly string[] {
  const { happened, would, counts, pairs } = result
  const isSame =
    happened.alarms === would.alarms &&
    counts.onlyHappened + counts.onlyWould + counts.earlier + counts.later === 0
  if (isSame)
    return [
      would.alarms === 0
        ? say('No alarm rang, and none would have.')
        : sayCount(would.alarms, 'The very same: one alarm.', 'The very same: {n} alarms.'),
    ]
  const told = furthest(pairs)
  return [
    alarmsWords(would.alarms, happened.alarms),
    nightsWords(would.nightsRung, happened.nightsRung),
    ...(told === null
      ? []
      : [
          say('{time}: {what}. {told}', {
            time: when(told.happened.from),
            what: spellWords(told.happened, names),
            told: pairWords(told),
          }),
        ]),
    ...(counts.onlyHappened === 0
      ? []
      : [
          sayCount(
            counts.onlyHappened,
            'One alarm that rang would not have.',
            '{n} alarms that rang would not have.',
          ),
        ]),
  ]
}

function alarmsWords(would: number, happened: number): string {
  if (would === happened)
    return sayCount(would, '{n} alarm, as many as rang.', '{n} alarms, as many as rang.')
  return say('{alarms} instead of {happened}.', {
    alarms: sayCount(would, '{n} alarm', '{n} alarms'),
    happened,
  })
}

function nightsWords(would: number, happened: number): string {
  const nights = sayCount(would, '{n} night', '{n} nights')
  return would === happened
    ? say('The phone would have rung in {nights}, as it did.', { nights })
    : say('The phone would have rung in {nights} instead of {happened}.', { nights, happened })
}

/** What the stored log cannot say. */
export function caveatWords(caveats: WhatIfCaveats): readonly string[] {
  const { thinnedHours, hidden, tendings, starts, changes, withoutPlan, isCut } = caveats
  return [
    say('Answers are not played: nobody acknowledges, and what would be told again counts once.'),
    say('Judged is the household of today: an animal or a sensor that has moved counts where it is now.'),
    say('What the curve tells of a fridge is learnt anew, from three days before.'),
    ...(changes === 0
      ? []
      : [
          sayCount(
            changes,
            'It was changed once since then began.',
            'It was changed {n} times in that time.',
          ),
        ]),
    ...withoutPlan.map((name) =>
      say('Of {name} no plan of that winter is known: it counts by the plan of today.', { name }),
    ),
    ...(hidden === 0
      ? []
      : [
          sayCount(
            hidden,
            'One alarm was shelved or taken out of service then; here it rings.',
            '{n} alarms were shelved or taken out of service then; here they ring.',
          ),
        ]),
    ...(tendings === 0
      ? []
      : [
          sayCount(
            tendings,
            'It was opened once with “I am opening this”: that is played as it was.',
            'It was opened {n} times with “I am opening this”: that is played as it was.',
          ),
        ]),
    ...(starts === 0
      ? []
      : [
          sayCount(
            starts,
            'Brumal was started once: what was before is a gap.',
            'Brumal was started {n} times: what was before each is a gap.',
          ),
        ]),
    ...(thinnedHours === 0
      ? []
      : [
          sayCount(
            thinnedHours,
            'Of one hour only the summary is kept: nothing is judged in it.',
            'Of {n} hours only the summary is kept: nothing is judged in them.',
          ),
        ]),
    ...(isCut ? [say('There were more alarms than are kept: the counts end there.')] : []),
  ]
}

type Both = SpellPair & { readonly happened: Spell; readonly would: Spell }

/** The gravest danger that would have been told at another time, by the most. */
function furthest(pairs: readonly SpellPair[]): Both | null {
  const both = pairs.filter(
    (pair): pair is Both =>
      pair.happened !== null && pair.would !== null && Math.abs(soonerBy(pair) ?? 0) >= tellsEarlier,
  )
  const rank = { high: 2, medium: 1, low: 0 }
  const weight = (pair: Both): number => rank[pair.happened.priority] * 1e12 + Math.abs(soonerBy(pair) ?? 0)
  return both.toSorted((one, other) => weight(other) - weight(one))[0] ?? null
}
