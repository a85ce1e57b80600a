import { later } from '../../schemas/amounts.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Layout } from '../../shared/judging/layout.ts'
import { silentAfter } from '../../shared/sensing/freshness.ts'
import { lookBack } from '../../shared/thermal/outlook.ts'
import {
  absences,
  alarmsInJournal,
  chosenStretches,
  type OutlookLine,
  type PassiveStretch,
  plugsInJournal,
  plugsOfTrial,
} from '../../shared/thermal/outlook-stretch.ts'
import type { Store } from '../ports/store.ts'
import type { History } from './calibrated-history.ts'
import type { CooledPlace } from './cooled-place.ts'
import type { Pause } from './place-cost.ts'

/** Lines of the journal read at once, and in all: sixty days of a busy house (X3). */
const [linesAtOnce, mostLines] = [500, 20_000]

export interface PassiveStretches {
  readonly chosen: readonly PassiveStretch[]
  /** There were some, but none is long enough to learn from. */
  readonly areTooShort: boolean
}

/** When nothing cooled the place: its trial runs, the journal, alarms and what measures the mains say so. */
export async function passiveStretches(
  world: {
    readonly layout: Layout
    readonly store: Pick<Store, 'journal' | 'span'>
    readonly history: Pick<History, 'readings'>
    readonly pause: Pause
  },
  { shell, outside }: CooledPlace,
  now: Instant,
): Promise<PassiveStretches> {
  const { layout, store, history, pause } = world
  const from = later(now, -lookBack)
  const places = shell.flatMap((q) => layout.places[q]?.place ?? [])
  const lines = await linesOf(store, from, now, pause)
  const all: PassiveStretch[] = []
  for (const { id, trial } of places) {
    const its = lines.filter((line) => line.place === id)
    all.push(...plugsOfTrial(trial, now), ...plugsInJournal(its), ...alarmsInJournal(its, now))
  }
  for (const q of [...shell, ...outside])
    for (const s of layout.places[q]?.sensors ?? []) {
      const sensor = layout.sensors[s]
      if (sensor === undefined || store.span(sensor.id, 'power') === null) continue
      await pause()
      const said: { at: Instant; value: number }[] = []
      // What says the same again is of use only to show that it is not silent.
      for (const { at, value, quality } of history.readings(sensor.id, 'power', from, later(now, 1)))
        if (quality === 'good') said.push({ at, value })
      all.push(...absences(said, silentAfter(sensor)))
    }
  const chosen = chosenStretches(all, from, now)
  return { chosen, areTooShort: chosen.length === 0 && all.length > 0 }
}

/** The lines that may tell of a plug or of a compressor that stood still, oldest first. */
async function linesOf(
  store: Pick<Store, 'journal'>,
  from: Instant,
  now: Instant,
  pause: Pause,
): Promise<readonly (OutlookLine & { place?: PlaceId | undefined })[]> {
  const lines: (OutlookLine & { place?: PlaceId | undefined })[] = []
  let before: number | undefined
  for (let read = 0; read < mostLines; read += linesAtOnce) {
    const some = store.journal({
      limit: linesAtOnce,
      from,
      to: later(now, 1),
      ...(before === undefined ? {} : { before }),
    })
    for (const { at, kind, alarmKind, place, text } of some)
      if (kind === 'changed' || alarmKind === 'notCooling')
        lines.push({
          at,
          kind,
          place,
          ...(alarmKind && { alarmKind }),
          ...(text !== undefined && { text }),
        })
    before = some.at(-1)?.id
    if (some.length < linesAtOnce || before === undefined) break
    await pause()
  }
  return lines.reverse()
}
