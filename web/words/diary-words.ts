import type { DangerSign, DiaryKind, DiaryNote, HealthAnswer, HealthQuestion } from '../../schemas/diary.ts'
import type { Tell } from './tell.ts'

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
  weighed: 'Weigh',
  looked: 'Looked in',
  fed: 'Fed',
  passed: 'Passed something',
  drank: 'Drank',
  bathed: 'Bathed',
  active: 'Moved in hold',
  sign: 'Danger sign',
  photographed: 'Photo',
  said: 'In words',
  checked: 'Health check',
  measured: 'Measure',
  scored: 'Body score',
  vet: 'Vet',
}

/** Short names of what is asked before an animal goes down. */
export const healthName: Record<HealthQuestion, string> = {
  speciesSure: 'species certain',
  seenByVet: 'seen by a reptile vet',
  faecesTested: 'faeces tested',
  notGravid: 'no eggs held back',
  eyesClear: 'eyes clear',
  noseClear: 'nose clear',
  mouthClean: 'mouth clean',
  skinWhole: 'skin and shell whole',
  wellThisSeason: 'well since spring',
  fedWell: 'fed well',
  drinksWell: 'drinks well',
}

/** Of each, yes is well. */
export const healthAsks: Record<HealthQuestion, string> = {
  speciesSure: 'Species and lineage are known for certain?',
  seenByVet: 'Seen by a reptile vet since midsummer?',
  faecesTested: 'Faeces tested for parasites, and any treatment finished?',
  notGravid: 'No eggs held back?',
  eyesClear: 'Eyes clear and open?',
  noseClear: 'Nose clear and dry?',
  mouthClean: 'Mouth clean: no plaque, no food left?',
  skinWhole: 'Skin and shell whole: no wound, swelling or red plastron?',
  wellThisSeason: 'No illness since spring?',
  fedWell: 'Fed well this season?',
  drinksWell: 'Drinks well?',
}

export const healthQuestions = Object.keys(healthAsks) as HealthQuestion[]

export const answerName: Record<Exclude<HealthAnswer, 'notAsked'>, string> = {
  yes: 'Yes',
  no: 'No',
  unsure: 'Unsure',
}

export const signName: Record<DangerSign, string> = {
  discharge: 'discharge from nose or eyes',
  swelling: 'swelling',
  redPlastron: 'red plastron',
  mouthPlaque: 'plaque in the mouth',
  mould: 'mould',
  rodentDamage: 'bites of mice or rats',
  circling: 'walks in circles',
  headTilt: 'head held askew',
  noResponse: 'no response to touch',
  weakness: 'weakness',
  other: 'something else',
}

export const dangerSigns = Object.keys(signName) as DangerSign[]

const eatenName = { all: 'ate all of it', some: 'ate some of it', none: 'ate nothing' } as const

/** An entry as a line of the diary: `Weighed 812 g, box wet`. Without a full stop: what was said follows. */
export function noteWords(note: DiaryNote, tell: Tell): string {
  switch (note.kind) {
    case 'weighed':
      return `Weighed ${tell.mass(note.grams)}${note.box === undefined ? '' : `, box ${note.box}`}`
    case 'measured':
      return `Measured: ${measuredWords(note, tell)}`
    case 'scored':
      return `Body score ${tell.plain(note.score, Number.isInteger(note.score) ? 0 : 1)} of ${note.scale === 'visualFive' ? 5 : 9}`
    case 'checked':
      return `Health check: ${checkedWords(note.answers)}`
    case 'bathed':
      return `Bathed${note.drank === undefined ? '' : note.drank ? ', drank' : ', did not drink'}`
    case 'drank':
      return 'Drank'
    case 'fed': {
      const what = [note.food, note.grams === undefined ? undefined : tell.mass(note.grams)].filter(isSaid)
      return `Fed${what.length === 0 ? '' : ` ${what.join(', ')}`}: ${eatenName[note.eaten]}`
    }
    case 'passed': {
      const what = (['faeces', 'urates', 'urine'] as const).filter((one) => note[one])
      return what.length === 0 ? 'Passed nothing' : `Passed ${listed(what)}`
    }
    case 'active':
      return 'Moved or dug in hold'
    case 'sign':
      return `Danger sign: ${note.signs.map((sign) => signName[sign]).join(', ')}`
    case 'vet':
      return note.clears ? 'The vet has nothing against the winter' : 'The vet advises against the winter'
    case 'photographed':
      return 'Photo'
    case 'said':
      return 'Noted'
    case 'looked':
      return 'Looked in'
    case 'aired':
      return 'Aired'
    case 'counted':
      return `Counted ${tell.count(note.amount)}`
    case 'added':
      return `Added ${tell.count(note.amount)}`
    case 'taken':
      return `Taken out ${tell.count(note.amount)}`
    case 'coolingBegan':
      return note.anyway === undefined ? 'Cooling began' : `Cooling began all the same: ${note.anyway}`
    case 'warmingBegan':
      return `Warming began: ${note.why}`
    default:
      return note satisfies never
  }
}

const isSaid = (text: string | undefined): text is string => text !== undefined && text !== ''

const listed = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1) ?? ''}`

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
    return value === undefined ? [] : [`${side} ${tell.plain(value, 1)}\u202fcm`]
  })
  return sides.join(', ')
}

/** What is not well first: that is what somebody looks for. */
function checkedWords(answers: Partial<Record<HealthQuestion, HealthAnswer>>): string {
  const those = (answer: HealthAnswer): string[] =>
    healthQuestions.filter((one) => answers[one] === answer).map((one) => healthName[one])
  const [no, unsure, yes] = [those('no'), those('unsure'), those('yes')]
  return [
    no.length === 0 ? '' : `not so: ${no.join(', ')}`,
    unsure.length === 0 ? '' : `unsure: ${unsure.join(', ')}`,
    yes.length === 0 ? '' : `${yes.length} well`,
  ]
    .filter((part) => part !== '')
    .join('; ')
}
