import type { Animal } from '../../schemas/animal.ts'
import type { DiaryLine } from '../../schemas/diary.ts'
import { instant } from '../../schemas/amounts.ts'
import { phaseAt } from '../../shared/judging/phase-at.ts'
import { isDown } from '../words/animal-words.ts'

export interface LastMass {
  readonly at: number
  readonly grams: number
}

/** The newest weigh-in of each animal and the one before it. */
export function lastMasses(lines: readonly DiaryLine[]): ReadonlyMap<string, readonly LastMass[]> {
  const found = new Map<string, LastMass[]>()
  for (const { animal, at, note } of lines) {
    if (animal === undefined || note.kind !== 'weighed') continue
    found.set(animal, [...(found.get(animal) ?? []), { at, grams: note.grams }])
  }
  for (const [animal, masses] of found) found.set(animal, masses.sort((a, b) => b.at - a.at).slice(0, 2))
  return found
}

/** Those due first; then those that are down; then by how long ago they were weighed, never before all. */
export function weighOrder(
  animals: readonly Animal[],
  last: ReadonlyMap<string, readonly LastMass[]>,
  due: ReadonlySet<string>,
  now: number,
): readonly string[] {
  const rank = (animal: Animal): readonly number[] => [
    due.has(animal.id) ? 0 : 1,
    isDown(phaseAt(animal, instant(now)).phase) ? 0 : 1,
    last.get(animal.id)?.[0]?.at ?? -Infinity,
  ]
  return animals
    .map((animal) => ({ animal, by: rank(animal) }))
    .sort((a, b) => {
      const at = a.by.findIndex((one, i) => one !== b.by[i])
      return at === -1 ? a.animal.name.localeCompare(b.animal.name) : (a.by[at] ?? 0) - (b.by[at] ?? 0)
    })
    .map(({ animal }) => animal.id)
}
