import { days } from '../../../schemas/amounts.ts'
import type { Instant } from '../../../schemas/units.ts'
import { publications } from '../publications.ts'
import { linesOf, type Subject } from '../subject.ts'
import { hair, type Loss } from './loss.ts'
import type { MassRule } from './rules.ts'
import { percentWords } from './words.ts'
import { say } from '../../words/say.ts'

/** From this on, in one step, it is a drop and no drying out; % of the mass on entry. Derived. */
const suddenDropPercent = 2
/**
 * A step longer than this is judged by its rate. Derived: two of the weekly weigh-ins that are advised
 * (BVA/BSAVA/BVZS 2016).
 */
const suddenWithin = days(14)

export interface SuddenDrop {
  readonly at: Instant
  readonly percent: number
  /** Wet: most likely urine. */
  readonly box: 'wet' | 'dry' | 'unknown'
  /** A later weigh-in has borne it out. */
  readonly isBorneOut: boolean
}

/** The newest drop that still stands: one that a later weigh-in took back was the scale. */
export function suddenDropOf(subject: Subject, { entry, last, lines }: Loss): SuddenDrop | null {
  for (let i = lines.length - 1; i > 0; i -= 1) {
    const [before, line] = [lines[i - 1], lines[i]]
    if (before === undefined || line === undefined) continue
    const percent = (100 * (before.note.grams - line.note.grams)) / entry.grams
    const still = (100 * (before.note.grams - last.grams)) / entry.grams
    if (Math.min(percent, still) < suddenDropPercent - hair) continue
    const box = line.note.box ?? (passedUrine(subject, before.at, line.at) ? 'wet' : 'unknown')
    if (box !== 'wet' && line.at - before.at > suddenWithin) continue
    return { at: line.at, percent, box, isBorneOut: i < lines.length - 1 }
  }
  return null
}

export function suddenDropRule(drop: SuddenDrop | null): readonly MassRule[] {
  if (drop === null) return []
  const rule = { rule: 'suddenDrop', limitPercent: suddenDropPercent } as const
  const lost = say('It lost {percent} in one step', { percent: percentWords(drop.percent) })
  if (drop.box === 'wet')
    return [
      {
        ...rule,
        verdict: 'wake',
        sentence: say(
          '{lost} and its box was wet: it has passed urine. End the hold and let it drink; ask a reptile vet.',
          { lost },
        ),
        source: `${publications.forbes}; ${publications.bladder}`,
        evidence: 'read',
      },
    ]
  const derived = { source: publications.derived, evidence: 'derived' } as const
  if (drop.box === 'unknown')
    return [
      {
        ...rule,
        ...derived,
        verdict: 'watch',
        sentence: say('{lost}: was its box wet? That would be urine, and ends the hold.', { lost }),
      },
    ]
  return [
    {
      ...rule,
      ...derived,
      verdict: drop.isBorneOut ? 'well' : 'watch',
      sentence: say('{lost} though its box was dry: {part}', {
        lost,
        part: drop.isBorneOut ? say('a later weigh-in bears it out.') : say('weigh it again in two days.'),
      }),
    },
  ]
}

const passedUrine = ({ history }: Subject, after: Instant, until: Instant): boolean =>
  linesOf(history, 'passed').some(({ at, note }) => note.urine && at > after && at <= until)
