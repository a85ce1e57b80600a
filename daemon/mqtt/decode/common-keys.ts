import type { Quantity } from '../../../schemas/quantity.ts'
import type { Instant } from '../../../schemas/units.ts'
import {
  decodedFrom,
  gather,
  gathering,
  leaveOut,
  MAX_CHANNEL_LENGTH,
  refused,
  type Decoded,
  type Gathering,
} from './decoded.ts'
import { asNumber } from './number-text.ts'
import { ownTime } from './own-time.ts'
import { meaningOf, rankOf, type Meaning } from './quantity-words.ts'
import { stateOf, valueFrom } from './wire-unit.ts'

/** Members of one message, nested ones included: more is a dump, not a reading (X3). */
const MAX_MEMBERS = 256

/**
 * A JSON object read by the names that sensors commonly use: `temperature`, `temp_f`, `humidity`, `battery`, `vbat`,
 * `door`, `contact`, `timestamp` … (quantity-words). An object inside it is a channel, named by its key; so is a key
 * with a number behind it (`temp2`). Deeper objects and arrays are passed over.
 */
export function commonKeys(document: Readonly<Record<string, unknown>>): Decoded {
  const gathered = gathering()
  const outer = members(document)
  if (outer.length > MAX_MEMBERS) return refused('tooMany')
  const outerTime = timeIn(outer)
  gatherMembers(gathered, outer, '', outerTime)
  let count = outer.length
  for (const [channel, nested] of outer) {
    if (typeof nested !== 'object' || nested === null || Array.isArray(nested)) continue
    if (channel === '' || channel.length > MAX_CHANNEL_LENGTH || UNPRINTABLE.test(channel)) continue
    const inner = members(nested as Readonly<Record<string, unknown>>)
    count += inner.length
    if (count > MAX_MEMBERS) return refused('tooMany')
    gatherMembers(gathered, inner, channel, timeIn(inner) ?? outerTime)
  }
  return decodedFrom(gathered)
}

type Member = readonly [key: string, value: unknown]
type Time = Instant | 'bad' | null

const members = (object: Readonly<Record<string, unknown>>): readonly Member[] => Object.entries(object)

/** Control characters, lone surrogates: no keeper could type such a channel. */
const UNPRINTABLE = /[\p{Cc}\p{Cs}]/u

const timeKeys: ReadonlySet<string> = new Set(['time', 'timestamp', 'ts', 'at', 'datetime'])

/** Single letters are taken for what they mostly mean, unless the labels of a SenML record stand beside them. */
const letters: ReadonlyMap<string, Meaning> = new Map<string, Meaning>([
  ['t', { quantity: 'temperature' }],
  ['h', { quantity: 'humidity' }],
])
const senmlLabels: ReadonlySet<string> = new Set(['n', 'bn', 'v', 'u'])

interface Candidate {
  readonly meaning: Meaning
  readonly rank: number
  readonly raw: unknown
}

/** For each channel and quantity the best-named member counts, so that °C and °F side by side are one reading. */
function gatherMembers(gathered: Gathering, all: readonly Member[], channel: string, time: Time): void {
  const best = new Map<string, Candidate>()
  const mayUseLetters = !all.some(([key]) => senmlLabels.has(key))
  for (const [key, raw] of all) {
    if (raw === null || (typeof raw === 'object' && !Array.isArray(raw))) continue
    const letter = mayUseLetters ? letters.get(key) : undefined
    const known = letter ? { meaning: letter, isNumbered: false } : meaningOf(key)
    if (known === null || UNPRINTABLE.test(key)) continue
    const own = known.isNumbered ? (channel === '' ? key : `${channel}/${key}`) : channel
    if (own.length > MAX_CHANNEL_LENGTH) continue
    const slot = `${known.meaning.quantity} ${own}`
    const rank = rankOf(known.meaning)
    const rival = best.get(slot)
    if (rival === undefined || rank < rival.rank) best.set(slot, { meaning: known.meaning, rank, raw })
  }
  for (const [slot, { meaning, raw }] of best) {
    const own = slot.slice(meaning.quantity.length + 1)
    gatherOne(gathered, meaning, raw, own, time)
  }
}

function gatherOne(gathered: Gathering, meaning: Meaning, raw: unknown, channel: string, time: Time): void {
  // a plug's `power: 0` is watts while the compressor rests, not a power cut: only a plain yes or no is believed
  if (meaning.quantity === 'power' && !isPlainState(raw)) return leaveOut(gathered, 'noNumber')
  const value = valueFrom(raw, meaning.quantity, meaning.unit)
  if (!value.ok) return leaveOut(gathered, value.refusal)
  if (time === 'bad') return leaveOut(gathered, 'badTime')
  const [quantity, number] = supply(meaning, value.value)
  gather(gathered, quantity, meaning.isInverted ? 1 - number : number, channel, time)
}

const isPlainState = (raw: unknown): boolean =>
  stateOf(raw) !== null && !(typeof raw === 'string' && asNumber(raw.trim()) !== null)

/** Batteries are sent in volts and millivolts under the same names: 3.01 is no percentage, 2987 neither. */
function supply({ quantity, unit }: Meaning, value: number): readonly [Quantity, number] {
  if ((quantity !== 'battery' && quantity !== 'voltage') || unit !== undefined) return [quantity, value]
  if (value >= 1000 && value <= 5000 && Number.isInteger(value)) return ['voltage', value / 1000]
  if (quantity === 'battery' && value > 1 && value < 5 && !Number.isInteger(value)) return ['voltage', value]
  return [quantity, value]
}

/**
 * The time beside the values. A number that is no plausible time is `bad`: the clock was never set. Text that names no
 * instant, as local time without an offset, is passed over, as if the message carried no time.
 */
function timeIn(all: readonly Member[]): Time {
  for (const [key, raw] of all) {
    if (!timeKeys.has(key.toLowerCase())) continue
    const at = ownTime(raw)
    if (at !== null) return at
    if (typeof raw === 'number') return 'bad'
  }
  return null
}
