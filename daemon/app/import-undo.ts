import type { Household } from '../../schemas/household.ts'
import type { SensorId } from '../../schemas/ids.ts'
import type { ImportLine, UndoneImport } from '../../schemas/import.ts'
import type { Clock } from '../ports/clock.ts'
import type { Outcome } from '../ports/outcome.ts'
import type { Store } from '../ports/store.ts'
import type { ImportRefusal, ImportStore } from '../ports/imports.ts'
import type { House } from './house.ts'
import { busy } from './import-words.ts'
import type { Pause } from './place-cost.ts'

/** Hour blocks that one transaction takes out: about 20 ms of work and one commit, in which nothing is judged. */
const hoursAtOnce = 50

/**
 * Takes back all that an import added, and the loggers that are left without a reading. Ended before its end it may be
 * begun again: what is out already is no longer on the list.
 */
export async function takeBack(
  line: ImportLine,
  by: string,
  world: {
    readonly house: Pick<House, 'zonesOf' | 'rehouse' | 'note'> & {
      state(): { readonly layout: { readonly household: Household } }
    }
    readonly store: ImportStore & Pick<Store, 'span'>
    readonly clock: Pick<Clock, 'now'>
    readonly pause: Pause
    readonly isClosing: () => boolean
  },
): Promise<Outcome<UndoneImport, ImportRefusal>> {
  const { house, store, clock, pause, isClosing } = world
  const isEmpty = (id: SensorId): boolean =>
    store.span(id, 'temperature') === null && store.span(id, 'humidity') === null
  const sum = { removed: 0, left: 0 }
  store.saveImport({ ...line, state: 'undoing' })
  for (let isDone = false; !isDone; ) {
    const some = store.takeOut(line.id, hoursAtOnce, house.zonesOf)
    sum.removed += some.removed
    sum.left += some.left
    isDone = some.isDone
    await pause()
    if (isClosing()) return busy
  }
  const { loggers = [], ...others } = house.state().layout.household
  // Whichever import brought it: a logger without a reading is nothing
  const gone = loggers.filter(({ id }) => line.sensors.includes(id) && isEmpty(id))
  const kept = loggers.filter((one) => !gone.includes(one))
  const text = `Took back ${line.file}: ${sum.removed} readings.`
  const entry = { at: clock.now(), kind: 'changed', by, text } as const
  if (gone.length === 0) house.note(entry)
  else house.rehouse({ ...others, ...(kept.length > 0 && { loggers: kept }) }, entry)
  store.forgetImport(line.id)
  return { ok: true, value: sum }
}
