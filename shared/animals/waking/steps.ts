import { days, hours, later } from '../../../schemas/amounts.ts'
import type { PlanStep } from '../../../schemas/animal.ts'
import type { DiaryKind } from '../../../schemas/diary.ts'
import type { WakingStep } from '../../../schemas/season.ts'
import type { Evidence, Figure, SeasonFigures } from '../../../schemas/species.ts'
import type { Instant } from '../../../schemas/units.ts'
import { localDate } from '../../time/wall.ts'
import { coldOf } from '../cold.ts'
import { dayWords } from '../day-words.ts'
import { publications } from '../publications.ts'
import { figureOf, type LineOf, linesOf, type Subject, wentDownAt, wokenAt } from '../subject.ts'
import { inOrder } from '../weigh-ins.ts'
import { openSigns, signWords } from './signs.ts'
import { say } from '../../words/say.ts'

/** It should have drunk by then (common practice, no source). */
const drinkWithin = hours(24)
/** Everything should be normal by then (netvet.co.uk). */
const normalWithin = days(21)
/** Without urine by then the outlook is very poor (netvet.co.uk); the steps are told until here. */
const outlookAt = days(42)
/** An animal that has passed no water is told of for as long again. Derived: nobody may have noted it. */
const toldUntil = days(84)

/**
 * The steps after waking; empty before, once all is normal, and after six weeks, unless it has still passed no
 * water.
 */
export function wakingStepsOf(subject: Subject): readonly WakingStep[] {
  const { profile, now } = subject
  const woken = awakeSince(subject)
  const figures = profile.season
  if (woken === null || figures === undefined || now >= later(woken, toldUntil)) return []
  // Warmed by mistake and down again by its plan: it sleeps.
  if (coldOf(subject) !== null) return []
  const seen = seenSince(subject, woken)
  // What was seen in the cold and no vet has cleared is no better for the warmth.
  const signs = openSigns(subject, Math.min(woken, wentDownAt(subject) ?? woken) as Instant)
  const isAllDone = seen.drank !== null && seen.passed !== null && seen.ate !== null
  if (isAllDone && signs.length === 0) return []
  const ctx: Awake = { subject, woken, figures, seen, isAfterVet: (due) => seen.vet.some((at) => at >= due) }
  if (now >= later(woken, outlookAt))
    return seen.passed === null && seen.vet.length === 0 ? [noWater(ctx)] : []
  return [warm(ctx), drink(ctx), urates(ctx), eat(ctx), normal(ctx, signs)]
}

/**
 * When it was woken by the diary; where nobody noted that, when its plan warmed it. Else one that was forgotten on its
 * day would be asked after by nobody.
 */
function awakeSince(subject: Subject): Instant | null {
  const { plan } = subject.animal
  const noted = wokenAt(subject)
  const isCold = (step: PlanStep | undefined) => step?.phase === 'coolDown' || step?.phase === 'hold'
  const i = plan.findLastIndex(
    ({ from }, at) => from <= subject.now && isCold(plan[at - 1]) && !isCold(plan[at]),
  )
  const warmed = plan[i]
  if (warmed === undefined) return noted
  const down = plan.slice(0, i).findLastIndex((step, at) => isCold(step) && !isCold(plan[at - 1]))
  return noted !== null && noted >= (plan[down]?.from ?? warmed.from) ? noted : warmed.from
}

interface Seen {
  readonly drank: Instant | null
  readonly passed: Instant | null
  readonly ate: Instant | null
  readonly vet: readonly Instant[]
}

interface Awake {
  readonly subject: Subject
  readonly woken: Instant
  readonly figures: SeasonFigures
  readonly seen: Seen
  /** A vet has cleared it since. */
  readonly isAfterVet: (due: Instant) => boolean
}

function seenSince({ history, now }: Subject, woken: Instant): Seen {
  const since = <Kind extends DiaryKind>(kind: Kind): readonly LineOf<Kind>[] =>
    inOrder(linesOf(history, kind)).filter(({ at }) => at >= woken && at <= now)
  const baths = since('bathed').filter(({ note }) => note.drank === true)
  return {
    drank: inOrder([...since('drank'), ...baths])[0]?.at ?? null,
    passed: since('passed').find(({ note }) => note.urates || note.urine)?.at ?? null,
    ate: since('fed').find(({ note }) => note.eaten !== 'none')?.at ?? null,
    vet: since('vet')
      .filter(({ note }) => note.clears)
      .map(({ at }) => at),
  }
}

interface Told {
  readonly step: WakingStep['step']
  /** Not before. */
  readonly from: Instant
  readonly due: Instant
  readonly doneAt: Instant | null
  /** Its turn has come. */
  readonly hasTurn: boolean
  readonly sendsToVet: boolean
  readonly words: { readonly done: string; readonly open: string; readonly late: string }
  readonly source: string
  readonly evidence: Evidence
}

function told({ subject: { now }, isAfterVet }: Awake, so: Told): WakingStep {
  const { step, from, due, doneAt, source, evidence } = so
  const isLate = doneAt === null && now >= due
  const standing = doneAt !== null ? 'done' : isLate ? 'late' : so.hasTurn ? 'waiting' : 'ahead'
  const isSeen = so.sendsToVet && isAfterVet(due)
  const sentence = doneAt !== null ? so.words.done : isLate && !isSeen ? so.words.late : so.words.open
  return {
    step,
    from,
    due,
    doneAt,
    standing,
    isVet: isLate && so.sendsToVet && !isSeen,
    sentence,
    source,
    evidence,
  }
}

/** Warm by its time, or by what only a warm animal does. */
function warm(ctx: Awake): WakingStep {
  const { warmUpDays } = ctx.figures
  const due = warmAt(ctx)
  const signs = [ctx.seen.ate, ctx.seen.passed].filter((at) => at !== null)
  const byTime = ctx.subject.now >= due ? [due] : []
  const doneAt = [...signs, ...byTime].toSorted((a, b) => a - b)[0] ?? null
  const open = say('Bring it to its normal warmth, by night as well as by day.')
  const words = {
    done: say('Its warming is done: keep it at its normal warmth, by night as well.'),
    open,
    late: open,
  }
  return told(ctx, {
    step: 'warm',
    from: ctx.woken,
    due,
    doneAt,
    hasTurn: true,
    sendsToVet: false,
    words,
    ...sourceOf(warmUpDays),
  })
}

const drink = (ctx: Awake): WakingStep =>
  told(ctx, {
    step: 'drink',
    from: ctx.woken,
    due: later(ctx.woken, drinkWithin),
    doneAt: ctx.seen.drank,
    hasTurn: true,
    sendsToVet: false,
    words: {
      done: say('It has drunk.'),
      open: say('{part}: it should drink within a day.', {
        part: isBathed(ctx)
          ? say('Bathe it in lukewarm shallow water as soon as it holds its head up')
          : say('Give it fresh, shallow water'),
      }),
      late: say(
        'It has not been seen to drink within a day of waking: {part}, and ask a reptile vet if it will not drink.',
        { part: isBathed(ctx) ? say('bathe it daily') : say('keep fresh water before it') },
      ),
    },
    source: publications.keepers,
    evidence: 'commonPractice',
  })

/** Who is bathed while it fasts is bathed when it wakes; a snake or a toad finds its water by itself. */
const isBathed = ({ figures }: Awake): boolean => figures.batheDays !== undefined

const urates = (ctx: Awake): WakingStep =>
  told(ctx, {
    step: 'urates',
    from: later(ctx.woken, drinkWithin),
    due: vetDue(ctx),
    doneAt: ctx.seen.passed,
    hasTurn: ctx.seen.drank !== null,
    sendsToVet: true,
    words: {
      done: say('It has passed urine or urates.'),
      open: say('Look for urine or urates, in the bath as well.'),
      late: say('It has passed no urine or urates by {day}: take it to a reptile vet.', {
        day: dayWords(localDate(vetDue(ctx), ctx.subject.timeZone)),
      }),
    },
    ...sourceOf(ctx.figures.vetDays),
  })

function eat(ctx: Awake): WakingStep {
  const from = mealFrom(ctx)
  return told(ctx, {
    step: 'eat',
    from,
    due: eatDue(ctx),
    doneAt: ctx.seen.ate,
    hasTurn: ctx.seen.passed !== null && ctx.subject.now >= from,
    sendsToVet: true,
    words: {
      done: say('It has eaten.'),
      open: say('Offer a first small meal once it is warm and has passed urates.'),
      late: say('It has not eaten by {day}: take it to a reptile vet.', {
        day: dayWords(localDate(eatDue(ctx), ctx.subject.timeZone)),
      }),
    },
    ...sourceOf(ctx.figures.vetDays),
  })
}

/** Never done here: once it is, no step is told any more. */
function normal(ctx: Awake, signs: readonly LineOf<'sign'>[]): WakingStep {
  const step = told(ctx, {
    step: 'normal',
    from: later(ctx.woken, normalWithin),
    due: Math.max(later(ctx.woken, normalWithin), eatDue(ctx)) as Instant,
    doneAt: null,
    hasTurn: false,
    sendsToVet: true,
    words: {
      done: '',
      open: say('Drinking, passing urates and eating should all be normal within three weeks.'),
      late: say(
        'Not all is normal three weeks after waking: see a reptile vet. No urine by six weeks has a very poor outlook.',
      ),
    },
    source: publications.waking,
    evidence: 'read',
  })
  if (signs.length === 0) return step
  return {
    ...step,
    standing: step.standing === 'late' ? 'late' : 'waiting',
    isVet: true,
    sentence: say('{sign} {part}: take it to a reptile vet now.', {
      sign: signWords(signs),
      part: signs.every(({ at }) => at >= ctx.woken) ? say('after waking') : say('seen in the cold'),
    }),
    source: publications.signsAfter,
  }
}

const noWater = (ctx: Awake): WakingStep => ({
  step: 'urates',
  from: later(ctx.woken, drinkWithin),
  due: vetDue(ctx),
  doneAt: null,
  standing: 'late',
  isVet: true,
  sentence: say(
    'No urine noted six weeks after waking: its outlook is very poor, take it to a reptile vet today.',
  ),
  source: publications.waking,
  evidence: 'read',
})

const daysOf = ({ subject }: Awake, figure: Figure): number =>
  Math.round(days(1) * figureOf(figure, subject.guidance))

const warmAt = (ctx: Awake): Instant => later(ctx.woken, daysOf(ctx, ctx.figures.warmUpDays))
const mealFrom = (ctx: Awake): Instant => later(warmAt(ctx), daysOf(ctx, ctx.figures.firstMealDays))

/**
 * Days from waking; from when it is warm where warming alone takes as long, for the figure is of tortoises, warm
 * in a few days (derived).
 */
function vetDue(ctx: Awake): Instant {
  const vetDays = daysOf(ctx, ctx.figures.vetDays)
  const due = later(ctx.woken, vetDays)
  return warmAt(ctx) < due ? due : later(warmAt(ctx), vetDays)
}

/** The same of the first meal, which is not offered before its time. */
const eatDue = (ctx: Awake): Instant =>
  mealFrom(ctx) < vetDue(ctx) ? vetDue(ctx) : later(mealFrom(ctx), daysOf(ctx, ctx.figures.vetDays))

const sourceOf = ({ source, evidence }: { readonly source: string; readonly evidence: Evidence }) => ({
  source,
  evidence,
})
