import { useMemo } from 'preact/hooks'
import type { DiaryLine } from '../../schemas/diary.ts'
import { query } from '../page/ask.ts'
import { useFollowed } from '../diary/use-followed.ts'
import type { LastMass } from '../diary/weigh-order.ts'
import type { Answered } from '../parts/use-answer.ts'

/** Weigh-ins that a curve shows at most: four years of weekly ones. */
const mostMasses = 200

/** The weigh-ins of one animal, oldest first. */
export function useMasses(animal: string): {
  readonly masses: readonly LastMass[] | null
  readonly asked: Answered<DiaryLine[]>
} {
  const asked = useFollowed<DiaryLine[]>(`/api/diary${query({ animal, kind: 'weighed', limit: mostMasses })}`)
  const lines = asked.value.value
  const masses = useMemo(
    () =>
      lines === null
        ? null
        : lines
            .flatMap(({ at, note }) => (note.kind === 'weighed' ? [{ at, grams: note.grams }] : []))
            .sort((a, b) => a.at - b.at),
    [lines],
  )
  return { masses, asked }
}
