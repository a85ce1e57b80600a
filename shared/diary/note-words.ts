import type {
  DangerSign,
  DiaryKind,
  DiaryNote,
  HealthAnswer,
  HealthQuestion,
  NoteOf,
} from '../../schemas/diary.ts'
import { decimalWords } from './decimal-words.ts'

/** One entry in a few words, without its own text: `Weighed: 812 g`, `Fed: crickets, ate some`. */
export function noteWords(note: DiaryNote): string {
  const what = detailOf(note)
  return what === '' ? kindWord[note.kind] : `${kindWord[note.kind]}: ${what}`
}

export const kindWord: Record<DiaryKind, string> = {
  weighed: 'Weighed',
  measured: 'Measured',
  scored: 'Condition by eye',
  checked: 'Health list',
  bathed: 'Bathed',
  drank: 'Drank',
  fed: 'Fed',
  passed: 'Passed',
  active: 'Active in the cold',
  sign: 'Danger sign',
  vet: 'Reptile vet',
  photographed: 'Photograph',
  said: 'Note',
  looked: 'Looked',
  aired: 'Aired',
  counted: 'Counted',
  added: 'Added',
  taken: 'Taken',
  coolingBegan: 'Cooling began',
  warmingBegan: 'Warming began',
}

export const signWords: Record<DangerSign, string> = {
  discharge: 'discharge from nose or eyes',
  swelling: 'a swelling',
  redPlastron: 'a red plastron',
  mouthPlaque: 'plaque in the mouth',
  mould: 'mould',
  rodentDamage: 'bites of rodents',
  circling: 'walks in circles',
  headTilt: 'holds its head askew',
  noResponse: 'does not respond',
  weakness: 'weakness',
  other: 'something else',
}

/** What a yes to each question of the health list says. */
export const questionWords: Record<HealthQuestion, string> = {
  speciesSure: 'species known for certain',
  seenByVet: 'seen by a reptile vet since midsummer',
  faecesTested: 'faeces tested',
  notGravid: 'no eggs held back',
  eyesClear: 'eyes clear',
  noseClear: 'nose clear',
  mouthClean: 'mouth clean',
  skinWhole: 'skin whole',
  wellThisSeason: 'well this season',
  fedWell: 'fed well',
  drinksWell: 'drinks well',
}

function detailOf(note: DiaryNote): string {
  switch (note.kind) {
    case 'weighed':
      return listed([
        `${decimalWords(note.grams)} g`,
        note.box === 'wet' ? 'box wet' : note.box === 'dry' ? 'box dry' : null,
      ])
    case 'measured':
      return listed([
        sizeWords('length', note.length),
        sizeWords('width', note.width),
        sizeWords('height', note.height),
        sizeWords('girth', note.girth),
      ])
    case 'scored':
      return `${decimalWords(note.score)} of ${note.scale === 'visualFive' ? 5 : 9}`
    case 'checked':
      return checkWords(note.answers)
    case 'bathed':
      return note.drank === undefined ? '' : note.drank ? 'drank' : 'did not drink'
    case 'fed':
      return listed([
        note.food ?? null,
        note.grams === undefined ? null : `${decimalWords(note.grams)} g`,
        eatenWords[note.eaten],
      ])
    case 'passed':
      return (
        listed([note.faeces ? 'faeces' : null, note.urates ? 'urates' : null, note.urine ? 'urine' : null]) ||
        'nothing'
      )
    case 'sign':
      return listed(note.signs.map((sign) => signWords[sign]))
    case 'vet':
      return note.clears ? 'cleared' : 'not cleared'
    case 'counted':
    case 'added':
    case 'taken':
      return decimalWords(note.amount)
    case 'coolingBegan':
      return note.anyway === undefined ? '' : `though something was missing: ${note.anyway}`
    case 'warmingBegan':
      return note.why
    case 'drank':
    case 'active':
    case 'photographed':
    case 'said':
    case 'looked':
    case 'aired':
      return ''
    default:
      return note satisfies never
  }
}

const eatenWords: Record<NoteOf<'fed'>['eaten'], string> = {
  all: 'ate all',
  some: 'ate some',
  none: 'ate nothing',
}

const sizeWords = (name: string, size: number | undefined): string | null =>
  size === undefined ? null : `${name} ${decimalWords(size)} cm`

/** What is not well is named; what is well is counted. */
function checkWords(answers: NoteOf<'checked'>['answers']): string {
  const given = Object.entries(answers) as [HealthQuestion, HealthAnswer][]
  const asked = given.filter(([, answer]) => answer !== 'notAsked')
  const well = asked.filter(([, answer]) => answer === 'yes').length
  const named = (wanted: HealthAnswer, word: string): string | null => {
    const of = asked.filter(([, answer]) => answer === wanted).map(([question]) => questionWords[question])
    return of.length === 0 ? null : `${word} ${of.join(', ')}`
  }
  const [only] = asked
  if (asked.length === 1 && only?.[1] === 'yes') return questionWords[only[0]]
  return [`${well} of ${asked.length} well`, named('no', 'not'), named('unsure', 'unsure')]
    .filter((part) => part !== null)
    .join('; ')
}

const listed = (parts: readonly (string | null)[]): string => parts.filter((part) => part !== null).join(', ')
