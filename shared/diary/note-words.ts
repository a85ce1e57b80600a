import type {
  DangerSign,
  DiaryKind,
  DiaryNote,
  HealthAnswer,
  HealthQuestion,
  NoteOf,
} from '../../schemas/diary.ts'
import { decimalWords } from './decimal-words.ts'
import { say } from '../words/say.ts'

/** One entry in a few words, without its own text: `Weighed: 812 g`, `Fed: crickets, ate some`. */
export function noteWords(note: DiaryNote): string {
  const what = detailOf(note)
  return what === '' ? kindWord[note.kind] : `${kindWord[note.kind]}: ${what}`
}

const kindWord: Record<DiaryKind, string> = {
  weighed: say('Weighed'),
  measured: say('Measured'),
  scored: say('Condition by eye'),
  checked: say('Health list'),
  bathed: say('Bathed'),
  drank: say('Drank'),
  fed: say('Fed'),
  passed: say('Passed'),
  active: say('Active in the cold'),
  sign: say('Danger sign'),
  vet: say('Reptile vet'),
  photographed: say('Photograph'),
  said: say('Note'),
  looked: say('Looked'),
  aired: say('Aired'),
  counted: say('Counted'),
  added: say('Added'),
  taken: say('Taken'),
  coolingBegan: say('Cooling began'),
  warmingBegan: say('Warming began'),
}

const signWords: Record<DangerSign, string> = {
  discharge: say('discharge from nose or eyes'),
  swelling: say('a swelling'),
  redPlastron: say('a red plastron'),
  mouthPlaque: say('plaque in the mouth'),
  mould: say('mould'),
  rodentDamage: say('bites of rodents'),
  circling: say('walks in circles'),
  headTilt: say('holds its head askew'),
  noResponse: say('does not respond'),
  weakness: say('weakness'),
  other: say('something else'),
}

/** What a yes to each question of the health list says. */
const questionWords: Record<HealthQuestion, string> = {
  speciesSure: say('species known for certain'),
  seenByVet: say('seen by a reptile vet since midsummer'),
  faecesTested: say('faeces tested'),
  notGravid: say('no eggs held back'),
  eyesClear: say('eyes clear'),
  noseClear: say('nose clear'),
  mouthClean: say('mouth clean'),
  skinWhole: say('skin whole'),
  wellThisSeason: say('well this season'),
  fedWell: say('fed well'),
  drinksWell: say('drinks well'),
}

function detailOf(note: DiaryNote): string {
  switch (note.kind) {
    case 'weighed':
      return listed([
        `${decimalWords(note.grams)} g`,
        note.box === 'wet' ? say('box wet') : note.box === 'dry' ? say('box dry') : null,
      ])
    case 'measured':
      return listed([
        sizeWords(say('length'), note.length),
        sizeWords(say('width'), note.width),
        sizeWords(say('height'), note.height),
        sizeWords(say('girth'), note.girth),
      ])
    case 'scored':
      return say('{decimal} of {part}', {
        decimal: decimalWords(note.score),
        part: note.scale === 'visualFive' ? 5 : 9,
      })
    case 'checked':
      return checkWords(note.answers)
    case 'bathed':
      return note.drank === undefined ? '' : note.drank ? say('drank') : say('did not drink')
    case 'fed':
      return listed([
        note.food ?? null,
        note.grams === undefined ? null : `${decimalWords(note.grams)} g`,
        eatenWords[note.eaten],
      ])
    case 'passed':
      return (
        listed([
          note.faeces ? say('faeces') : null,
          note.urates ? say('urates') : null,
          note.urine ? say('urine') : null,
        ]) || say('nothing')
      )
    case 'sign':
      return listed(note.signs.map((sign) => signWords[sign]))
    case 'vet':
      return note.clears ? say('cleared') : say('not cleared')
    case 'counted':
    case 'added':
    case 'taken':
      return decimalWords(note.amount)
    case 'coolingBegan':
      return note.anyway === undefined
        ? ''
        : say('though something was missing: {anyway}', { anyway: note.anyway })
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
  all: say('ate all'),
  some: say('ate some'),
  none: say('ate nothing'),
}

const sizeWords = (name: string, size: number | undefined): string | null =>
  size === undefined ? null : say('{name} {decimal} cm', { name, decimal: decimalWords(size) })

/** What is not well is named; what is well is counted. */
function checkWords(answers: NoteOf<'checked'>['answers']): string {
  const given = Object.entries(answers) as [HealthQuestion, HealthAnswer][]
  const asked = given.filter(([, answer]) => answer !== 'notAsked')
  const well = asked.filter(([, answer]) => answer === 'yes').length
  const answered = (wanted: HealthAnswer): string =>
    listed(asked.filter(([, answer]) => answer === wanted).map(([question]) => questionWords[question]))
  const [no, unsure] = [answered('no'), answered('unsure')]
  const [only] = asked
  if (asked.length === 1 && only?.[1] === 'yes') return questionWords[only[0]]
  return [
    say('{well} of {asked} well', { well, asked: asked.length }),
    no === '' ? null : say('not {questions}', { questions: no }),
    unsure === '' ? null : say('unsure {questions}', { questions: unsure }),
  ]
    .filter((part) => part !== null)
    .join('; ')
}

const listed = (parts: readonly (string | null)[]): string => parts.filter((part) => part !== null).join(', ')
