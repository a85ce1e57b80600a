import { days } from '../../schemas/amounts.ts'
import { HealthQuestion } from '../../schemas/diary.ts'
import type { GateItem } from '../../schemas/season.ts'
import type { Instant } from '../../schemas/units.ts'
import { sources } from '../species/sources.ts'
import { gateItem } from './gate-item.ts'
import { linesOf, type Subject } from './subject.ts'
import { say, sayCount } from '../words/say.ts'

/** An answer of the health list counts for so long, its last moment included. Derived: late summer to November. */
const answeredWithin = days(60)

/**
 * A test of the droppings counts for longer: it is due two months before the cold, so that what it finds can be treated,
 * and may have been made four months before that. Derived; a fortnight is left for a cooling that begins late.
 */
const testedWithin = days(62 + 120 + 14)

/** A vet's no stands for so long, or until a vet says otherwise. Derived: half a year is another season. */
const vetNoWithin = days(180)

const from = { source: sources.bva, evidence: 'read' } as const

/**
 * The health list, each question by its newest answer, and danger signs. A reptile vet who lets it go down after a bad
 * answer or sign meets that one; the vet's own no stands until a vet says otherwise.
 */
export function healthItem(subject: Subject): GateItem {
  const { animal, now } = subject
  const within = (ms: number) => subject.history.filter(({ at }) => at <= now && now - at <= ms)
  const recent = within(answeredWithin)
  const vet = linesOf(within(vetNoWithin), 'vet').at(-1)
  if (vet?.note.clears === false)
    return gateItem('health', 'against', say('A reptile vet has not let it go down.'), from)
  const clearedAt = vet?.at ?? null
  const isCleared = (at: Instant): boolean => clearedAt !== null && clearedAt >= at
  const sign = linesOf(recent, 'sign').findLast(({ at }) => !isCleared(at))
  if (sign !== undefined)
    return gateItem(
      'health',
      'against',
      say('A danger sign was noted: a reptile vet must see it first.'),
      from,
    )

  const bad: HealthQuestion[] = []
  const open: HealthQuestion[] = []
  const checks = linesOf(recent, 'checked')
  const tests = linesOf(within(testedWithin), 'checked')
  for (const question of HealthQuestion.options) {
    const last = (question === 'faecesTested' ? tests : checks).findLast(
      ({ note }) => note.answers[question] !== undefined,
    )
    const answer = last?.note.answers[question]
    const isMoot = question === 'notGravid' && animal.sex === 'male' && answer !== 'no'
    if (isMoot || answer === 'yes') continue
    if (last !== undefined && answer !== 'notAsked' && isCleared(last.at)) continue
    if (answer === 'no') bad.push(question)
    else open.push(question)
  }
  if (bad.length > 0)
    return gateItem(
      'health',
      'against',
      say('The health list says no: {bad}. A reptile vet must let it go down first.', {
        bad: bad.map((question) => badWords[question]).join(', '),
      }),
      from,
    )
  if (open.length === 0) return gateItem('health', 'met', say('The health list is answered, all well.'), from)
  return open.length === HealthQuestion.options.length
    ? gateItem(
        'health',
        'missing',
        say('Answer the health list; nothing of it was answered in the last 60 days.'),
        from,
      )
    : gateItem(
        'health',
        'missing',
        sayCount(
          open.length,
          'Of the health list {n} question is open: {open}.',
          'Of the health list {n} questions are open: {open}.',
          { open: open.map((question) => askedWords[question]).join(', ') },
        ),
        from,
      )
}

const badWords: Record<HealthQuestion, string> = {
  speciesSure: say('its species is not certain'),
  seenByVet: say('no reptile vet has seen it'),
  faecesTested: say('its faeces were not tested'),
  notGravid: say('it holds eggs'),
  eyesClear: say('its eyes are not clear'),
  noseClear: say('its nose is not clear'),
  mouthClean: say('its mouth is not clean'),
  skinWhole: say('its skin or shell is not whole'),
  wellThisSeason: say('it was ill this season'),
  fedWell: say('it did not feed well'),
  drinksWell: say('it does not drink well'),
}

const askedWords: Record<HealthQuestion, string> = {
  speciesSure: say('species certain'),
  seenByVet: say('seen by a vet'),
  faecesTested: say('faeces tested'),
  notGravid: say('no eggs held'),
  eyesClear: say('eyes clear'),
  noseClear: say('nose clear'),
  mouthClean: say('mouth clean'),
  skinWhole: say('skin and shell whole'),
  wellThisSeason: say('well this season'),
  fedWell: say('fed well'),
  drinksWell: say('drinks well'),
}
