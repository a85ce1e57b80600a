import { expectedLoss, type LossInterval, lossRatio, meanDeficit } from '../../air/evaporation.ts'
import { saturationFao } from '../../air/psychrometrics.ts'
import { celsius } from '../../../schemas/amounts.ts'
import type { Instant } from '../../../schemas/units.ts'
import type { BoxAir } from './box-air.ts'
import { linesOf, type Subject } from '../subject.ts'
import type { WeighedLine } from '../weigh-ins.ts'
import type { Loss } from './loss.ts'
import { gramsWords, percentWords } from './words.ts'
import { inReadersDigits } from '../../words/reader.ts'
import { say } from '../../words/say.ts'

/** Vapour deficit of 5 °C and this humidity, as FAO-56 and Tetens write it, to the hundredth that is shown. */
const deficitAt = (percent: number): number =>
  Math.round(100 * saturationFao(celsius(5)) * (1 - percent / 100)) / 100

/**
 * From here air is called dry, kPa: 60 %RH at 5 °C, the lower end of what keepers aim at (common practice, no
 * source).
 */
const dryFrom = deficitAt(60)
/** Up to here air is called damp, kPa: 80 %RH at 5 °C. Derived. */
const dampUpTo = deficitAt(80)

/**
 * `Lost 1.4 % in 20 days; the air was dry: 0.35 kPa.`, and what this animal lost before in such air, where that
 * is known.
 */
export function airSentence(subject: Subject, loss: Loss, air: BoxAir): string | null {
  if (loss.points < 2 || air.deficit === null) return null
  const shown = Math.round(100 * air.deficit) / 100
  const word = shown >= dryFrom ? say('dry') : shown <= dampUpTo ? say('damp') : say('neither dry nor damp')
  const days = Math.round(loss.days)
  const span =
    days < 1 ? say('less than a day #in') : days === 1 ? say('a day #in') : say('{days} days #in', { days })
  const change =
    loss.lostPercent > 0
      ? say('Lost {percent}', { percent: percentWords(loss.lostPercent) })
      : say('Lost nothing')
  const said = say('{change} in {span}; the air was {word}: {shown} kPa.', {
    change,
    span,
    word,
    shown: inReadersDigits(shown.toFixed(2)),
  })
  return [said, againstItself(subject, loss, air)].filter((part) => part !== null).join(' ')
}

/** The last stretch against the ones before it: whether dry air alone explains what was lost. */
function againstItself({ history }: Subject, { lines, scaleStep }: Loss, { between }: BoxAir): string | null {
  if (between === undefined) return null
  const stretches = lines.slice(1).map((to, i) => stretch(lines[i] ?? to, to, between))
  const last = stretches.at(-1)
  if (last === undefined || last.to.at <= last.from.at) return null
  const earlier = stretches
    .slice(0, -1)
    .filter(({ from, to, isWet }) => to.at > from.at && !isWet && !tookWater(history, from.at, to.at))
  const found = lossRatio(earlier)
  if (!found.ok || meanDeficit(last.drying) === null) return null
  const expected = expectedLoss(found, last.drying)
  const seen = last.from.grams - last.to.grams
  const give = 2 * expected.uncertainty + scaleStep
  const usual = say('By what it lost before, air like this takes about {grams}', {
    grams: gramsWords(expected.grams),
  })
  if (seen > expected.grams + give)
    return say(
      '{usual}; between the last two weigh-ins it lost {grams}: the air alone does not explain it.',
      { usual, grams: gramsWords(seen) },
    )
  return say('{usual}: what it lost between the last two weigh-ins is no more.', { usual })
}

interface Stretch extends LossInterval {
  readonly isWet: boolean
}

const stretch = (from: WeighedLine, to: WeighedLine, between: NonNullable<BoxAir['between']>): Stretch => ({
  from: { at: from.at, grams: from.note.grams },
  to: { at: to.at, grams: to.note.grams },
  drying: between(from.at, to.at),
  isWet: to.note.box === 'wet',
})

/** In between it drank, was bathed, ate or passed something: no longer the air's doing. */
const tookWater = (history: Subject['history'], after: Instant, until: Instant): boolean =>
  (['bathed', 'drank', 'fed', 'passed'] as const).some((kind) =>
    linesOf(history, kind).some(({ at }) => at > after && at <= until),
  )
