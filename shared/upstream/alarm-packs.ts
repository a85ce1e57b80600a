import type { JournalLine } from '../../schemas/api.ts'
import { siteAlarmsTopic } from '../../schemas/own-topics.ts'
import type { Pack } from './reading-packs.ts'
import { type SenmlRecord, senmlTime, valueLabels } from './senml-records.ts'

/**
 * One change of an alarm as SenML JSON. Base name `<site>/alarm/<alarm>/`; the change is a record of its own name, true;
 * beside it `out`, whether the condition holds, where the change says so, and what the alarm is about as texts. Who
 * answered and what they wrote is left out: it is nobody's outside of the house.
 */
export function alarmPack(site: string, line: JournalLine): Pack {
  const { alarm, at, kind, quantity, value, threshold } = line
  const out = kind === 'raised' ? true : kind === 'returned' ? false : null
  const records: SenmlRecord[] = [
    { bn: `${site}/alarm/${alarm ?? 'none:none'}/`, bt: senmlTime(at), n: kind, vb: true },
    ...(out === null ? [] : [{ n: 'out', vb: out }]),
    ...texts(line),
    ...(quantity === undefined || value === undefined
      ? []
      : [{ n: 'value', ...valueLabels(quantity, value) }]),
    ...(quantity === undefined || threshold === undefined
      ? []
      : [{ n: 'threshold', ...valueLabels(quantity, threshold) }]),
  ]
  return { topic: siteAlarmsTopic(site), payload: JSON.stringify(records) }
}

function texts({ alarmKind, priority, place, sensor, quantity, limit }: JournalLine): readonly SenmlRecord[] {
  const all = { kind: alarmKind, priority, place, sensor, quantity, limit }
  return Object.entries(all).flatMap(([n, vs]) => (vs === undefined ? [] : [{ n, vs }]))
}
