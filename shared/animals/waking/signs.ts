import type { DangerSign } from '../../../schemas/diary.ts'
import type { Instant } from '../../../schemas/units.ts'
import { type LineOf, linesOf, type Subject } from '../subject.ts'
import { inOrder } from '../weigh-ins.ts'
import { say } from '../../words/say.ts'

/** Danger signs noted since `from` that no vet has cleared since. */
export function openSigns({ history, now }: Subject, from: Instant): readonly LineOf<'sign'>[] {
  const cleared = linesOf(history, 'vet').filter(({ at, note }) => note.clears && at <= now)
  return inOrder(linesOf(history, 'sign')).filter(
    ({ at }) => at >= from && at <= now && !cleared.some((vet) => vet.at >= at),
  )
}

/** `Discharge, a swelling`: each once, in the order in which they were seen. */
export function signWords(lines: readonly LineOf<'sign'>[]): string {
  const words = [...new Set(lines.flatMap(({ note }) => note.signs))].map((sign) => signWord[sign]).join(', ')
  return words.charAt(0).toUpperCase() + words.slice(1)
}

const signWord: Readonly<Record<DangerSign, string>> = {
  discharge: say('discharge from nose or eyes'),
  swelling: say('a swelling'),
  redPlastron: say('a reddened plastron'),
  mouthPlaque: say('plaque in the mouth'),
  mould: say('mould'),
  rodentDamage: say('gnawing by rodents'),
  circling: say('walking in circles'),
  headTilt: say('a tilted head'),
  noResponse: say('no response to touch or movement'),
  weakness: say('weakness'),
  other: say('a sign of danger'),
}
