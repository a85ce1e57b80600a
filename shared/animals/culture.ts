import { days, later } from '../../schemas/amounts.ts'
import type { Culture, CultureNow } from '../../schemas/culture.ts'
import type { DiaryLine } from '../../schemas/diary.ts'
import type { Place } from '../../schemas/place.ts'
import type { Reminder } from '../../schemas/season.ts'
import type { Instant } from '../../schemas/units.ts'
import { addDays, localDate } from '../time/wall.ts'
import { foodFigures, timesSlower, warmthOf } from './live-food.ts'
import { inOrder, reminderOf, repeated, type Task } from './reminder.ts'
import { linesOf } from './subject.ts'
import { inReadersDigits } from '../words/reader.ts'
import { say } from '../words/say.ts'

/** One more week than an order takes, because orders come late. Derived. */
const safetyWeeks = 1
/** Food for longer than this is not reckoned: nothing lives so long. */
const mostWeeks = 520
/** A culture is counted again after a fortnight. Common practice, no source. */
const countEvery = 14

export interface CultureFacts {
  readonly place: Place
  readonly history: readonly DiaryLine[]
  readonly celsius: number | null
  readonly now: Instant
  readonly timeZone: string
}

/**
 * How long a culture feeds its eaters (S5). `celsius`: mean of the last week; null where nothing measures it.
 *
 * The stock is what was counted last, with what was added and taken since. From the last count or taking on, what nobody
 * noted is reckoned at the weekly use, so that a culture that nobody counts runs out on paper before it does in its box.
 * What it breeds is not counted on.
 */
export function cultureNow({ place, history, celsius, now, timeZone }: CultureFacts): CultureNow {
  const { culture } = place
  if (culture === undefined) throw new Error(`${place.name} holds no live food.`)
  const { food, unit, weeklyUse, orderWeeks } = culture
  const kept = keptOf(history, now)
  const amount = kept === null ? null : Math.max(0, kept.amount - (weeklyUse * (now - kept.at)) / weekMs)
  const weeks = amount === null || weeklyUse === 0 ? null : amount / weeklyUse
  const weeksLeft = weeks === null || weeks > mostWeeks ? null : weeks
  const orderAt = kept === null || weeksLeft === null ? null : orderInstant(kept, weeklyUse, orderWeeks)
  const orderBy = orderAt === null ? null : localDate(orderAt, timeZone)
  const isLow = orderBy !== null && orderBy <= localDate(now, timeZone)
  return {
    place: place.id,
    name: place.name,
    food,
    unit,
    stock: kept === null || amount === null ? null : { amount, countedAt: kept.countedAt },
    weeklyUse,
    weeksLeft,
    orderBy,
    isLow,
    warmth: celsius === null ? null : warmthNow(food, celsius),
    sentence: sentenceOf(culture, amount, weeksLeft, isLow),
  }
}

/** What a culture asks for: new stock in time, and to be counted. */
export function cultureReminders(facts: CultureFacts, until: string): readonly Reminder[] {
  const { place, now, timeZone } = facts
  const today = localDate(now, timeZone)
  const { orderBy, stock, food, sentence } = cultureNow(facts)
  const order: readonly Task[] =
    orderBy === null
      ? []
      : [
          {
            kind: 'order',
            title: say('Order {name} for {place}', { name: foodFigures[food].name, place: place.name }),
            on: orderBy,
            sentence: say('{sentence} Note what you add when it is here.', { sentence }),
            evidence: 'derived',
          },
        ]
  const next = stock === null ? today : addDays(localDate(stock.countedAt, timeZone), countEvery)
  const counts = repeated(next, countEvery, today, until).map(
    (on, i): Task => ({
      kind: 'count',
      title: say('Count {place}', { place: place.name }),
      on,
      sentence:
        stock === null
          ? say('It was never counted: how long it lasts is not known.')
          : say('It is counted every two weeks.'),
      source: say('common practice among keepers, no formal source'),
      evidence: 'commonPractice',
      ...(stock === null && i === 0 ? { once: 'first' } : {}),
    }),
  )
  return inOrder(
    [...order.filter(({ on }) => on <= until), ...counts].map((task) =>
      reminderOf(task, { place: place.id }, today),
    ),
  )
}

const weekMs: number = days(7)

interface Kept {
  readonly amount: number
  /** The last count or taking: until then nothing is guessed. */
  readonly at: Instant
  readonly countedAt: Instant
}

function keptOf(history: readonly DiaryLine[], now: Instant): Kept | null {
  const past = history.filter(({ at }) => at <= now)
  const counted = linesOf(past, 'counted').at(-1)
  if (counted === undefined) return null
  const since = past.filter(({ at }) => at >= counted.at)
  const added = linesOf(since, 'added').reduce((sum, { note }) => sum + note.amount, 0)
  const takings = linesOf(since, 'taken')
  const taken = takings.reduce((sum, { note }) => sum + note.amount, 0)
  const at = takings.at(-1)?.at ?? counted.at
  return { amount: Math.max(0, counted.note.amount + added - taken), at, countedAt: counted.at }
}

/** When it lasts just long enough for an order to arrive; never before it was last looked into. */
function orderInstant({ amount, at }: Kept, weeklyUse: number, orderWeeks: number): Instant {
  const spare = amount / weeklyUse - orderWeeks - safetyWeeks
  return spare <= 0 ? at : later(at, spare * weekMs)
}

function warmthNow(food: Culture['food'], celsius: number): NonNullable<CultureNow['warmth']> {
  const { standing, sentence, source, evidence } = warmthOf(food, celsius)
  const slower = standing === 'good' || standing === 'slow' ? timesSlower(food, celsius) : null
  return { celsius, standing, slower, sentence, source, evidence }
}

function sentenceOf(
  { food, unit }: Culture,
  amount: number | null,
  weeksLeft: number | null,
  isLow: boolean,
): string {
  const { name } = foodFigures[food]
  if (amount === null) return say('How many {name} there are is not known: count them.', { name })
  const left =
    unit === 'grams'
      ? say('{round} g of {name}', { round: Math.round(amount), name })
      : `${Math.round(amount)} ${name}`
  if (weeksLeft === null) return say('About {left}.', { left })
  const last =
    weeksLeft < 1
      ? say('{floor} days', { floor: Math.floor(weeksLeft * 7) })
      : say('{weeksLeft} weeks', { weeksLeft: inReadersDigits(weeksLeft.toFixed(1)) })
  return say('About {left}: food for {last}.{part}', { left, last, part: isLow ? say(' Order now.') : '' })
}
