import type { DangerSign, DiaryKind, DiaryNote, HealthAnswer, HealthQuestion } from '../../schemas/diary.ts'
import type { Tell } from './tell.ts'
import { say } from '../../shared/words/say.ts'

/** Kinds that people note of an animal by a form, in the order in which they are offered. */
export const notedKinds = [
  'weighed',
  'looked',
  'fed',
  'passed',
  'drank',
  'bathed',
  'active',
  'sign',
  'photographed',
  'said',
  'checked',
  'measured',
  'scored',
  'vet',
] as const satisfies readonly DiaryKind[]
export type NotedKind = (typeof notedKinds)[number]

export const isNotedKind = (kind: string): kind is NotedKind =>
  (notedKinds as readonly string[]).includes(kind)

/** What is pressed to note it. */
export const notingName: Record<NotedKind, string> = {
  weighed: say('Weigh'),
  looked: say('Looked in'),
  fed: say('Fed'),
  passed: say('Passed something'),
  drank: say('Drank'),
  bathed: say('Bathed'),
  active: say('Moved in hold'),
  sign: say('Danger sign'),
  photographed: say('Photo'),
  said: say('In words'),
  checked: say('Health check'),
  measured: say('Measure'),
  scored: say('Body score'),
  vet: say('Vet'),
}

/** Short names of what is asked before an animal goes down. */
const healthName: Record<HealthQuestion, string> = {
  speciesSure: say('species certain'),
  seenByVet: say('seen by a reptile vet'),
  faecesTested: say('faeces tested'),
  notGravid: say('no eggs held back'),
  eyesClear: say('eyes clear'),
  noseClear: say('nose clear'),
  mouthClean: say('mouth clean'),
  skinWhole: say('skin and shell whole'),
  wellThisSeason: say('well since spring'),
  fedWell: say('fed well'),
  drinksWell: say('drinks well'),
}

/** Of each, yes is well. */
export const healthAsks: Record<HealthQuestion, string> = {
  speciesSure: say('Species and lineage are known for certain?'),
  seenByVet: say('Seen by a reptile vet since midsummer?'),
  faecesTested: say('Faeces tested for parasites, and any treatment finished?'),
  notGravid: say('No eggs held back?'),
  eyesClear: say('Eyes clear and open?'),
  noseClear: say('Nose clear and dry?'),
  mouthClean: say('Mouth clean: no plaque, no food left?'),
  skinWhole: say('Skin and shell whole: no wound, swelling or red plastron?'),
  wellThisSeason: say('No illness since spring?'),
  fedWell: say('Fed well this season?'),
  drinksWell: say('Drinks well?'),
}

export const healthQuestions = Object.keys(healthAsks) as HealthQuestion[]

export const answerName: Record<Exclude<HealthAnswer, 'notAsked'>, string> = {
  yes: say('Yes'),
  no: say('No'),
  unsure: say('Unsure'),
}

export const signName: Record<DangerSign, string> = {
  discharge: say('discharge from nose or eyes'),
  swelling: say('swelling'),
  redPlastron: say('red plastron'),
  mouthPlaque: say('plaque in the mouth'),
  mould: say('mould'),
  rodentDamage: say('bites of mice or rats'),
  circling: say('walks in circles'),
  headTilt: say('head held askew'),
  noResponse: say('no response to touch'),
  weakness: say('weakness'),
  other: say('something else'),
}

export const dangerSigns = Object.keys(signName) as DangerSign[]

const eatenName = {
  all: say('ate all of it'),
  some: say('ate some of it'),
  none: say('ate nothing'),
} as const

/** An entry as a line of the diary: `Weighed 812 g, box wet`. Without a full stop: what was said follows. */
export function noteWords(note: DiaryNote, tell: Tell): string {
  switch (note.kind) {
    case 'weighed':
      return say('Weighed {mass}{part}', {
        mass: tell.mass(note.grams),
        part: note.box === undefined ? '' : say(', box {box}', { box: note.box }),
      })
    case 'measured':
      return say('Measured: {measured}', { measured: measuredWords(note, tell) })
    case 'scored':
      return say('Body score {plain} of {part}', {
        plain: tell.plain(note.score, Number.isInteger(note.score) ? 0 : 1),
        part: note.scale === 'visualFive' ? 5 : 9,
      })
    case 'checked':
      return say('Health check: {checked}', { checked: checkedWords(note.answers) })
    case 'bathed':
      return say('Bathed{part}', {
        part: note.drank === undefined ? '' : note.drank ? say(', drank') : say(', did not drink'),
      })
    case 'drank':
      return say('Drank')
    case 'fed': {
      const what = [note.food, note.grams === undefined ? undefined : tell.mass(note.grams)].filter(isSaid)
      return say('Fed{part}: {part2}', {
        part: what.length === 0 ? '' : ` ${what.join(', ')}`,
        part2: eatenName[note.eaten],
      })
    }
    case 'passed': {
      const what = (['faeces', 'urates', 'urine'] as const)
        .filter((one) => note[one])
        .map((one) => passedName[one])
      return what.length === 0 ? say('Passed nothing') : say('Passed {listed}', { listed: listed(what) })
    }
    case 'active':
      return say('Moved or dug in hold')
    case 'sign':
      return say('Danger sign: {signs}', { signs: note.signs.map((sign) => signName[sign]).join(', ') })
    case 'vet':
      return note.clears
        ? say('The vet has nothing against the winter')
        : say('The vet advises against the winter')
    case 'photographed':
      return say('Photo')
    case 'said':
      return say('Noted')
    case 'looked':
      return say('Looked in')
    case 'aired':
      return say('Aired')
    case 'counted':
      return say('Counted {count}', { count: tell.count(note.amount) })
    case 'added':
      return say('Added {count}', { count: tell.count(note.amount) })
    case 'taken':
      return say('Taken out {count}', { count: tell.count(note.amount) })
    case 'coolingBegan':
      return note.anyway === undefined
        ? say('Cooling began')
        : say('Cooling began all the same: {anyway}', { anyway: note.anyway })
    case 'warmingBegan':
      return say('Warming began: {why}', { why: note.why })
    default:
      return note satisfies never
  }
}

const isSaid = (text: string | undefined): text is string => text !== undefined && text !== ''

const listed = (words: readonly string[]): string =>
  words.length < 2
    ? words.join('')
    : say('{words} and {part}', { words: words.slice(0, -1).join(', '), part: words.at(-1) ?? '' })

function measuredWords(
  note: {
    readonly length?: number | undefined
    readonly width?: number | undefined
    readonly height?: number | undefined
    readonly girth?: number | undefined
  },
  tell: Tell,
): string {
  const sides = (['length', 'width', 'height', 'girth'] as const).flatMap((side) => {
    const value = note[side]
    if (value === undefined) return []
    return [say('{side} {plain} cm', { side: sideName[side], plain: tell.plain(value, 1) })]
  })
  return sides.join(', ')
}

/** What is not well first: that is what somebody looks for. */
function checkedWords(answers: Partial<Record<HealthQuestion, HealthAnswer>>): string {
  const those = (answer: HealthAnswer): string[] =>
    healthQuestions.filter((one) => answers[one] === answer).map((one) => healthName[one])
  const [no, unsure, yes] = [those('no'), those('unsure'), those('yes')]
  return [
    no.length === 0 ? '' : say('not so: {no}', { no: no.join(', ') }),
    unsure.length === 0 ? '' : say('unsure: {unsure}', { unsure: unsure.join(', ') }),
    yes.length === 0 ? '' : say('{yes} well', { yes: yes.length }),
  ]
    .filter((part) => part !== '')
    .join('; ')
}

const passedName = { faeces: say('faeces'), urates: say('urates'), urine: say('urine') } as const

const sideName = {
  length: say('length'),
  width: say('width'),
  height: say('height'),
  girth: say('girth'),
} as const
