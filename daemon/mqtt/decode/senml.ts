import type { Refusal } from '../../../schemas/source.ts'
import { instant } from '../../../schemas/amounts.ts'
import type { Instant } from '../../../schemas/units.ts'
import { refused, taken, type Step } from './decoded.ts'

/** A record with its base fields folded in (RFC 8428 §4.6). Exactly one kind of value is not null, or only `sum`. */
export interface ResolvedRecord {
  readonly name: string
  readonly unit: string | null
  /** Milliseconds since 1970, not yet checked for sense; null when relative to a `now` that is not known. */
  readonly at: number | null
  /** Whether the record, or a base time above it, says when it was measured. */
  readonly hasOwnTime: boolean
  readonly number: number | null
  readonly text: string | null
  readonly state: boolean | null
  readonly data: string | Uint8Array | null
  readonly sum: number | null
  /** Seconds until the next reading at the latest, where the sensor promises it. */
  readonly nextWithin: number | null
  readonly version: number
}

/** Records of one pack: sixteen hours of one channel a minute; the shortest, 16 bytes each, would make 4096 (X3). */
const MAX_RECORDS = 1000

/** Seconds: a time below this counts from now, from it on since 1970 (RFC 8428 §4.5.3). */
const ABSOLUTE_FROM = 2 ** 28

/**
 * Folds the base fields in and puts the records in order of time (RFC 8428 §4.5, §4.6). `now` null: what is relative
 * to now has no instant, as in a retained message, whose "now" is long past.
 */
export function resolveSenml(pack: unknown, now: Instant | null): Step<readonly ResolvedRecord[]> {
  if (!Array.isArray(pack) || pack.length === 0) return refused('notSenml')
  if (pack.length > MAX_RECORDS) return refused('tooMany')
  const base: Labels = {}
  const resolved: ResolvedRecord[] = []
  for (const record of pack as readonly unknown[]) {
    if (typeof record !== 'object' || record === null || Array.isArray(record)) return refused('notSenml')
    const own: Labels = {}
    const problem = readLabels(record as Record<string, unknown>, base, own) ?? problemOf(base, own)
    if (problem !== null) return refused(problem)
    const version = base.bver ?? DEFAULT_VERSION
    // the version belongs to the pack, not to a record: two in one pack contradict each other
    if (resolved[0] !== undefined && resolved[0].version !== version) return refused('notSenml')
    const one = resolve(base, own, version, now)
    if (one.name.length > MAX_NAME_LENGTH || !NAME.test(one.name)) return refused('badName')
    resolved.push(one)
  }
  return taken(inOrderOfTime(resolved))
}

interface Labels {
  bn?: string
  bt?: number
  bu?: string
  bv?: number
  bs?: number
  bver?: number
  n?: string
  u?: string
  v?: number
  vs?: string
  vb?: boolean
  vd?: string | Uint8Array
  s?: number
  t?: number
  ut?: number
}

/** RFC 8428 §4.5.1: these characters only, a letter or a digit first. */
const NAME = /^[A-Za-z0-9][A-Za-z0-9\-:./_]*$/

/** Characters: a channel of a sensor's length, and the quantity's word behind it. */
const MAX_NAME_LENGTH = 160

/** RFC 8428 §4.1. */
const DEFAULT_VERSION = 10

/** Version 10 with the feature "secondary units" (RFC 9100 §3): 10 + 2^4. */
const SECONDARY_UNITS_VERSION = 26

const kinds = {
  bn: ['string', 'badName'],
  bt: ['number', 'badTime'],
  bu: ['string', 'badUnit'],
  bv: ['number', 'noNumber'],
  bs: ['number', 'noNumber'],
  bver: ['number', 'notSenml'],
  n: ['string', 'badName'],
  u: ['string', 'badUnit'],
  v: ['number', 'noNumber'],
  vs: ['string', 'noValue'],
  vb: ['boolean', 'noValue'],
  vd: ['data', 'noValue'],
  s: ['number', 'noNumber'],
  t: ['number', 'badTime'],
  ut: ['number', 'badTime'],
} as const satisfies Record<keyof Labels, readonly [kind: string, refusal: Refusal]>

/** Sorts a record's labels into base and own. RFC 8428 §4.4: unknown ones are ignored unless they end in `_`. */
function readLabels(record: Record<string, unknown>, base: Labels, own: Labels): Refusal | null {
  for (const label in record) {
    if (!Object.hasOwn(kinds, label)) {
      if (label.endsWith('_')) return 'unknownMandatoryLabel'
      continue
    }
    const known = label as keyof Labels
    const raw = record[label]
    const [kind, refusal] = kinds[known]
    const fits = kind === 'data' ? typeof raw === 'string' || raw instanceof Uint8Array : typeof raw === kind
    if (!fits) return refusal
    const into = label.length > 1 && label[0] === 'b' ? base : own
    into[known] = raw as never
  }
  return null
}

/** What is wrong with a record by itself, or null. */
function problemOf(base: Labels, own: Labels): Refusal | null {
  const { bver } = base
  if (bver !== undefined && !(Number.isInteger(bver) && bver > 0)) return 'notSenml'
  // a later version may mean other things by the same labels (RFC 8428 §4.4, RFC 9100 §2)
  if (bver !== undefined && bver > DEFAULT_VERSION && bver !== SECONDARY_UNITS_VERSION) return 'notSenml'
  let values = 0
  if (own.v !== undefined) values++
  if (own.vs !== undefined) values++
  if (own.vb !== undefined) values++
  if (own.vd !== undefined) values++
  // RFC 8428 §4.2: exactly one value, or none where there is a sum
  if (values > 1 || (values === 0 && own.s === undefined)) return 'noValue'
  if (!Number.isFinite((base.bt ?? 0) + (own.t ?? 0))) return 'badTime'
  return null
}

function resolve(base: Labels, own: Labels, version: number, now: Instant | null): ResolvedRecord {
  const hasOwnTime = base.bt !== undefined || own.t !== undefined
  const time = (base.bt ?? 0) + (own.t ?? 0)
  const isRelative = time < ABSOLUTE_FROM
  const from = isRelative ? now : instant(0)
  return {
    name: (base.bn ?? '') + (own.n ?? ''),
    unit: own.u ?? base.bu ?? null,
    at: from === null ? null : from + Math.round(time * 1000),
    hasOwnTime,
    number: own.v === undefined ? null : (base.bv ?? 0) + own.v,
    text: own.vs ?? null,
    state: own.vb ?? null,
    data: own.vd ?? null,
    sum: own.s === undefined && base.bs === undefined ? null : (base.bs ?? 0) + (own.s ?? 0),
    nextWithin: own.ut ?? null,
    version,
  }
}

/** Records without an instant keep their place behind the others. */
function inOrderOfTime(records: ResolvedRecord[]): readonly ResolvedRecord[] {
  if (records.length < 2) return records
  const key = ({ at }: ResolvedRecord): number => at ?? Number.MAX_VALUE
  return records.sort((a, b) => key(a) - key(b))
}
