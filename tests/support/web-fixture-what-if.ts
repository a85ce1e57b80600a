import { openWhatIf } from '../../daemon/app/what-if.ts'
import { zonesIn } from '../../daemon/app/zones-in.ts'
import type { JudgedReading } from '../../daemon/ports/store.ts'
import type { JournalLine } from '../../schemas/api.ts'
import type { Household } from '../../schemas/household.ts'
import type { PlaceId, SensorId } from '../../schemas/ids.ts'
import type { Person } from '../../schemas/person.ts'
import { WhatIfAsk, WhatIfBasis, WhatIfId, WhatIfNow } from '../../schemas/what-if.ts'
import { days, hours, later, millis, minutes } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { startWatch, stepWatch } from '../../shared/judging/watch.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import type { Truth } from './web-fixture-curves.ts'
import { invalid, nothing, ok, problem, type Reply } from './web-fixture-reply.ts'

const every = minutes(5)
/** So long was it heard. */
const lasts = days(14)
/** Sensors of the larder fridge; the others have said nothing. */
const heard = ['fridge-air', 'top-probe']
/** Nights in which the top box came near freezing: days ago, by how much colder, for how long. */
const dips = [
  { ago: days(3), kelvin: 5, lasts: hours(3) },
  { ago: days(6), kelvin: 2.4, lasts: hours(2) },
  { ago: days(10), kelvin: 2.6, lasts: hours(4) },
] as const

/** Looks back with the real judging of a fortnight, whose journal the same judge has written. */
export function fixtureWhatIf(world: {
  readonly now: () => Instant
  readonly me: () => Person
  readonly household: () => Household
  readonly truth: Truth
}) {
  const { now, me, household, truth } = world
  const end = now()
  const begins = later(end, -lasts)
  let desk: ReturnType<typeof openWhatIf> | null = null

  const valueOf = (sensor: string, at: number): number => {
    const dip =
      sensor === 'top-probe'
        ? dips.find((one) => at > end - one.ago && at < end - one.ago + one.lasts)
        : undefined
    if (dip === undefined) return truth(sensor, 'temperature', at)
    const done = (at - end + dip.ago) / dip.lasts
    return truth(sensor, 'temperature', at) - dip.kelvin * Math.sin(done * Math.PI)
  }
  const readings = (sensor: string, from: Instant, to: Instant): JudgedReading[] => {
    const first = Math.max(0, Math.ceil((from - begins) / every))
    const last = Math.min(lasts / every, Math.ceil((to - begins) / every))
    return Array.from({ length: Math.max(0, last - first) }, (_, i) => {
      const at = later(begins, (first + i) * every)
      const value = Math.round(valueOf(sensor, at) * 16) / 16
      return { sensor: sensor as SensorId, quantity: 'temperature', at, value, quality: 'good' }
    })
  }

  /** What the judge says of those days, as the journal would have it. */
  function journalOf(): readonly JournalLine[] {
    const lines: JournalLine[] = []
    let state = startWatch(household(), profileOf, begins)
    const all = heard.flatMap((sensor) => readings(sensor, begins, end))
    for (const { quality: _, ...reading } of all.toSorted((one, other) => one.at - other.at)) {
      const [next, effects] = stepWatch(state, { kind: 'reading', reading, heardAt: reading.at })
      state = next
      for (const effect of effects)
        if (effect.kind === 'journal') lines.push({ ...effect.entry, id: lines.length + 1 })
    }
    return lines.toReversed()
  }

  const opened = (): ReturnType<typeof openWhatIf> => {
    const journal = journalOf()
    const layout = startWatch(household(), profileOf, begins)
    return openWhatIf({
      house: { state: () => layout, zonesOf: zonesIn(() => layout.layout), catchUp: () => undefined },
      store: {
        journal: ({ from = begins, to = end, kinds = [], before = Infinity, limit }) =>
          journal
            .filter(({ at, kind, id }) => at >= from && at < to && kinds.includes(kind) && id < before)
            .slice(0, limit),
        readings: (sensor, quantity, from, to) =>
          heard.includes(sensor) && quantity === 'temperature' ? readings(sensor, from, to) : [],
        span: (sensor, quantity) =>
          heard.includes(sensor) && quantity === 'temperature'
            ? { first: begins, last: later(end, -every) }
            : null,
        size: () => ({ fileBytes: 1, usedBytes: 1, everyReadingFrom: begins, hourlyFrom: null }),
        summaries: () => [],
      },
      diary: { entries: () => [] },
      clock: { now, uptime: () => millis(Math.round(performance.now())) },
      profileOf,
      pause: () => new Promise((resolve) => setImmediate(resolve)),
    })
  }

  return (method: string, parts: readonly string[], query: URLSearchParams, body: unknown): Reply => {
    desk ??= opened()
    const [room, id = ''] = parts
    if (room === 'places') {
      const basis = desk.whatIfBasis(id as PlaceId, query.get('season'))
      return basis.ok ? ok(WhatIfBasis.parse(basis.value)) : problem(404, basis.error, basis.sentence)
    }
    if (method !== 'GET' && me().role !== 'keeper')
      return problem(403, 'keeperOnly', 'Only a keeper may do this.')
    if (method === 'POST') {
      const ask = WhatIfAsk.safeParse(body)
      if (!ask.success) return invalid(ask.error.issues)
      const begun = desk.startWhatIf(ask.data)
      return begun.ok ? ok(begun.value) : problem(409, begun.error, begun.sentence)
    }
    const run = WhatIfId.parse(id)
    if (method === 'DELETE') {
      desk.cancelWhatIf(run)
      return nothing
    }
    const found = desk.whatIf(run)
    return found.ok ? ok(WhatIfNow.parse(found.value)) : problem(404, found.error, found.sentence)
  }
}
