import type { MassNow, MassStanding } from '../../schemas/condition.ts'
import type { MassFigures } from '../../schemas/species.ts'
import { daysBetween, localDate } from '../time/wall.ts'
import { coldOf } from './cold.ts'
import { airSentence } from './mass/air-sentence.ts'
import type { BoxAir } from './mass/box-air.ts'
import { entryOf } from './mass/entry.ts'
import { type Loss, lossOf } from './mass/loss.ts'
import { gainRule, type MassRule, monthlyRule, totalRule } from './mass/rules.ts'
import { suddenDropOf, suddenDropRule } from './mass/sudden-drop.ts'
import { meetsTotalOf } from './mass/total-ahead.ts'
import { gramsWords } from './mass/words.ts'
import type { Subject } from './subject.ts'
import { say } from '../words/say.ts'

export type { BoxAir } from './mass/box-air.ts'

/** Mass in hold against the entry weigh-in (S2); null while it is not down. */
export function massOf(subject: Subject, air: BoxAir | null): MassNow | null {
  const cold = coldOf(subject)
  if (cold === null) return null
  const entry = entryOf(subject, cold)
  if (entry === null) return notWeighed
  const loss = lossOf(subject, entry.line)
  const figures = subject.profile.mass
  const isDamp = figures?.gainIsUsual ?? false
  // An animal that takes water up from wet soil loses it to dry soil as fast: no step of it tells of urine.
  const drop = isDamp ? null : suddenDropOf(subject, loss)
  const rules = [...limitRules(subject, loss, figures), ...suddenDropRule(drop), ...gainRule(loss, isDamp)]
  const standing = loss.points < 2 ? 'unknown' : worstOf(rules)
  return {
    standing,
    sentence: sentenceOf(subject, loss, standing, entry.remark, rules),
    entry: { at: loss.entry.at, grams: loss.entry.grams },
    last: { at: loss.last.at, grams: loss.last.grams },
    lostPercent: loss.lostPercent,
    monthly: loss.monthly,
    rules,
    meetsTotal: figures === undefined ? null : meetsTotalOf(loss, figures.totalPercent, subject.guidance),
    askUrinated: drop?.box === 'unknown',
    air: air === null ? null : airSentence(subject, loss, air),
  }
}

const limitRules = (subject: Subject, loss: Loss, figures: MassFigures | undefined): readonly MassRule[] =>
  figures === undefined || loss.points < 2
    ? []
    : [
        monthlyRule(loss, figures.monthlyPercent, subject.guidance),
        totalRule(loss, figures.totalPercent, subject.guidance),
      ]

const notWeighed: MassNow = {
  standing: 'unknown',
  sentence: say('Not weighed since it began to fast: weigh it now, so that a loss can be seen.'),
  entry: null,
  last: null,
  lostPercent: null,
  monthly: null,
  rules: [],
  meetsTotal: null,
  askUrinated: false,
  air: null,
}

const rank: Readonly<Record<MassStanding, number>> = { unknown: 0, well: 1, watch: 2, wake: 3 }

const worstOf = (rules: readonly MassRule[]): MassStanding =>
  rules.reduce<MassStanding>(
    (worst, { verdict }) => (rank[verdict] > rank[worst] ? verdict : worst),
    'unknown',
  )

function sentenceOf(
  { now, timeZone }: Subject,
  loss: Loss,
  standing: MassStanding,
  remark: string | null,
  rules: readonly MassRule[],
): string {
  const said = remark === null ? '' : ` ${remark}`
  if (loss.points < 2) {
    const ago = daysBetween(localDate(loss.entry.at, timeZone), localDate(now, timeZone))
    const since = ago === 0 ? say('today') : ago === 1 ? say('yesterday') : say('{ago} days ago', { ago })
    return say('{grams} on entry, weighed {since}; not weighed again yet.{said}', {
      grams: gramsWords(loss.entry.grams),
      since,
      said,
    })
  }
  const telling = standing === 'well' ? 'unknown' : standing
  const grave = rules.find(({ verdict }) => verdict === telling)?.sentence
  return `${loss.words} ${grave ?? calm[standing]}${said}`
}

const calm: Readonly<Record<MassStanding, string>> = {
  well: say('Within the limits.'),
  unknown: say('There is no limit for this species to judge it by.'),
  watch: say('Weigh it again in two days.'),
  wake: say('End the hold.'),
}
