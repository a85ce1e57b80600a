import type { Quantity } from '../../../schemas/quantity.ts'
import type { WireUnit } from '../../../schemas/sensor.ts'
import type { Refusal } from '../../../schemas/source.ts'
import type { Instant } from '../../../schemas/units.ts'
import {
  decodedFrom,
  gather,
  gathering,
  leaveOut,
  MAX_CHANNEL_LENGTH,
  type Decoded,
  type Gathering,
} from './decoded.ts'
import { plausibleInstant } from './own-time.ts'
import { meaningOf } from './quantity-words.ts'
import { resolveSenml, type ResolvedRecord } from './senml.ts'
import { inOwnUnit, stateOf } from './wire-unit.ts'

/**
 * The values of a SenML pack that a sensor here can measure; records of other units are passed over.
 *
 * The unit says which quantity it is (`Cel`, `K`, `%RH`, `%EL`, `V`, `mV`). Where there is none, or only a share
 * (`/`, `%`, `/100`), the name's last segment says it: what stands behind the last `:` or `/`. The channel is the name
 * without that segment when the segment says no more than the quantity, otherwise the whole name:
 * `urn:dev:mac:0123456789ab:temperature` has the channel `urn:dev:mac:0123456789ab`, `probe-1` in `Cel` is its own,
 * `temperature` alone has none.
 */
export function senmlValues(pack: unknown, now: Instant | null): Decoded {
  const resolved = resolveSenml(pack, now)
  if (!resolved.ok) return resolved
  const gathered = gathering()
  for (const record of resolved.value) gatherRecord(gathered, record)
  return decodedFrom(gathered)
}

interface Sense {
  readonly quantity: Quantity
  readonly unit: WireUnit | undefined
  readonly isInverted: boolean
  readonly channel: string
}

function gatherRecord(gathered: Gathering, record: ResolvedRecord): void {
  const sense = senseOf(record.name, record.unit)
  if (sense === null) return
  if (typeof sense === 'string') return leaveOut(gathered, sense)
  if (sense.channel.length > MAX_CHANNEL_LENGTH) return leaveOut(gathered, 'badName')

  let value = valueOf(record, sense.quantity)
  if (value === null) return
  const at = record.hasOwnTime && record.at !== null ? plausibleInstant(record.at) : null
  if (at === null && record.hasOwnTime && record.at !== null) return leaveOut(gathered, 'badTime')
  value = inOwnUnit(value, sense.quantity, sense.unit)
  if (value === null) return leaveOut(gathered, 'badUnit')
  gather(gathered, sense.quantity, sense.isInverted ? 1 - value : value, sense.channel, at)
}

function valueOf(record: ResolvedRecord, quantity: Quantity): number | null {
  if (record.number !== null) return record.number
  return quantity === 'door' || quantity === 'power' ? stateOf(record.state ?? record.text) : null
}

/** IANA registry "SenML Units": what each unit measures here. `mV` is a secondary unit (RFC 8798 §3). */
const unitSenses: ReadonlyMap<string, { readonly quantity: Quantity; readonly unit: WireUnit }> = new Map([
  ['Cel', { quantity: 'temperature', unit: 'celsius' }],
  ['K', { quantity: 'temperature', unit: 'kelvin' }],
  ['%RH', { quantity: 'humidity', unit: 'percent' }],
  ['%EL', { quantity: 'battery', unit: 'percent' }],
  ['V', { quantity: 'voltage', unit: 'volt' }],
  ['mV', { quantity: 'voltage', unit: 'millivolt' }],
])

const shares: ReadonlyMap<string, WireUnit> = new Map<string, WireUnit>([
  ['/', 'ratio'],
  ['%', 'percent'],
  ['/100', 'percent'],
])

/** What a record measures; null for what no sensor here measures; `badUnit` for a known word in a foreign unit. */
function senseOf(name: string, unit: string | null): Sense | Refusal | null {
  const cut = Math.max(name.lastIndexOf(':'), name.lastIndexOf('/'))
  const known = meaningOf(name.slice(cut + 1))
  const byUnit = unit === null ? undefined : unitSenses.get(unit)
  const quantity = byUnit?.quantity ?? known?.meaning.quantity
  if (quantity === undefined) return null
  const wire = byUnit?.unit ?? wireUnitOf(quantity, unit, known?.meaning.unit)
  if (wire === 'badUnit') return wire
  const saysNoMore = known !== null && !known.isNumbered && known.meaning.quantity === quantity
  const channel = saysNoMore ? name.slice(0, Math.max(cut, 0)) : name
  return { quantity, unit: wire, isInverted: saysNoMore && known.meaning.isInverted === true, channel }
}

/** For a record whose name, not its unit, says what it measures. */
function wireUnitOf(
  quantity: Quantity,
  unit: string | null,
  byName: WireUnit | undefined,
): WireUnit | 'badUnit' | undefined {
  if (unit === null || unit === '') return byName
  const share = shares.get(unit)
  if (share === undefined) return 'badUnit'
  return quantity === 'door' || quantity === 'power' ? undefined : share
}
