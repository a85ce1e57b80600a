import type { Figure, Guidance } from '../../schemas/species.ts'
import { figureOf } from './subject.ts'

/** How a value stands to a published least: `note`: allowed by the chosen guidance, though stricter advice says no. */
export function standingTo(
  figure: Figure,
  guidance: Guidance,
  isShort: (least: number) => boolean,
): 'kept' | 'note' | 'past' {
  if (isShort(figureOf(figure, guidance))) return 'past'
  return isShort(figure.value) ? 'note' : 'kept'
}
