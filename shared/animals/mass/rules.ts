import type { MassNow } from '../../../schemas/condition.ts'
import type { Figure, Guidance } from '../../../schemas/species.ts'
import { publications } from '../publications.ts'
import { figureOf } from '../subject.ts'
import { hair, type Loss } from './loss.ts'
import { gramsWords, pastWords, percentWords } from './words.ts'
import { say } from '../../words/say.ts'

export type MassRule = MassNow['rules'][number]

/** Below this mass 1 % is less than a scale of whole grams can tell for certain. Derived. */
const fineScaleBelowGrams = 200
/** The coarsest step of a scale that can still tell it there, g. Derived. */
const fineScaleStep = 0.1

/** From here the total is watched, %. Derived: half-way and more to the strict total of 5 %. */
const watchTotalPercent = 3

/** A gain past this is water on it, or the scale, %. Derived: as much as it may lose in a month. */
const oddGainPercent = 1

/** A limit that is met exactly is not exceeded. */
const isPast = (value: number, limit: number): boolean => value > limit + hair

/** Whether the scale used is too coarse for an animal so small. */
export const isScaleTooCoarse = ({ entry, scaleStep }: Loss): boolean =>
  entry.grams < fineScaleBelowGrams && scaleStep > fineScaleStep + hair

/** Past it: weigh again in two days. While all that is lost is one step of the scale, nothing is seen yet. */
export function monthlyRule(loss: Loss, figure: Figure, guidance: Guidance): MassRule {
  const limit = figureOf(figure, guidance)
  const rule = {
    rule: 'monthly',
    limitPercent: limit,
    source: figure.source,
    evidence: figure.evidence,
  } as const
  if (isScaleTooCoarse(loss))
    return { ...rule, verdict: 'unknown', sentence: tooCoarse(loss.scaleStep, limit) }
  if (loss.monthly === null)
    return { ...rule, verdict: 'unknown', sentence: say('Two weigh-ins at different times are needed.') }
  const { percent } = loss.monthly
  if (!isPast(percent, limit))
    return {
      ...rule,
      verdict: 'well',
      sentence: say('{rate} in 30 days; up to {percent} is allowed.', {
        rate: rateWords(percent),
        percent: percentWords(limit),
      }),
    }
  if (loss.entry.grams - loss.last.grams <= loss.scaleStep + hair)
    return {
      ...rule,
      verdict: 'well',
      sentence: say('No more than one step of the scale apart: no loss can be told yet.'),
    }
  return {
    ...rule,
    verdict: 'watch',
    sentence: say(
      'It loses {past} in 30 days; more than {percent} is too fast. Weigh it again in two days and look at probe, humidity and box.',
      { past: pastWords(percent, limit), percent: percentWords(limit) },
    ),
  }
}

/** Past it: wake it. */
export function totalRule(loss: Loss, figure: Figure, guidance: Guidance): MassRule {
  const limit = figureOf(figure, guidance)
  const rule = {
    rule: 'total',
    limitPercent: limit,
    source: figure.source,
    evidence: figure.evidence,
  } as const
  const { lostPercent } = loss
  if (isPast(lostPercent, limit))
    return {
      ...rule,
      verdict: 'wake',
      sentence: say(
        'It has lost {past} of its mass on entry; more than {percent} is too much: end the hold, let it drink, ask a reptile vet.',
        { past: pastWords(lostPercent, limit), percent: percentWords(limit) },
      ),
    }
  if (isPast(lostPercent, Math.min(watchTotalPercent, limit)))
    return {
      ...rule,
      verdict: 'watch',
      sentence: say('{percent} of the {percent2} it may lose in all: weigh it again in two days.', {
        percent: percentWords(lostPercent),
        percent2: percentWords(limit),
      }),
    }
  const so =
    lostPercent > 0
      ? say('{percent} lost in all', { percent: percentWords(lostPercent) })
      : say('Nothing lost')
  return {
    ...rule,
    verdict: 'well',
    sentence: say('{so}; up to {percent} is allowed.', { so, percent: percentWords(limit) }),
  }
}

/** A gain in the cold: usual for amphibians in moist soil; of the others, water on the animal or the scale. */
export function gainRule(loss: Loss, isUsual: boolean): readonly MassRule[] {
  const gained = -loss.lostPercent
  if (!(gained > 0)) return []
  const rule = { rule: 'gain', limitPercent: null } as const
  if (isUsual)
    return [
      {
        ...rule,
        verdict: 'well',
        sentence: say('It gained {percent}: it takes water up from moist soil, which is usual.', {
          percent: percentWords(gained),
        }),
        source: publications.toads,
        evidence: 'secondHand',
      },
    ]
  const isOdd = isPast(gained, oddGainPercent) && loss.last.grams - loss.entry.grams > loss.scaleStep + hair
  return [
    {
      ...rule,
      verdict: isOdd ? 'watch' : 'well',
      sentence: isOdd
        ? say(
            'It gained {percent} in the cold: was it wet, did water condense on it, is the scale right? Dry it gently and weigh it again in two days.',
            { percent: percentWords(gained) },
          )
        : say('It gained {percent}: no more than damp or the scale can do.', {
            percent: percentWords(gained),
          }),
      source: publications.derived,
      evidence: 'derived',
    },
  ]
}

const rateWords = (percent: number): string =>
  percent > 0 ? say('It loses {percent}', { percent: percentWords(percent) }) : say('It loses nothing')

const tooCoarse = (step: number, limit: number): string =>
  say(
    'It is too light for this scale: steps of {grams} cannot show {percent}. Weigh it on a scale with steps of {fineScaleStep} g.',
    { grams: gramsWords(step), percent: percentWords(limit), fineScaleStep },
  )
