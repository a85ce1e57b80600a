import { instant } from '../../schemas/amounts.ts'
import type { ZonesOf, ZoneTimes } from '../ports/zones.ts'
import type { Blocks } from './blocks.ts'
import { startOf } from './hour.ts'
import { goodPoints, type Rows } from './rows.ts'
import type { SeriesRegister } from './series.ts'

/** The zones of hour blocks whose readings change, and of those that lean on them. */
export function hourZones(blocks: Blocks, series: SeriesRegister) {
  function zonesOfHour(id: number, hour: number, rows: Rows, zonesOf: ZonesOf): ZoneTimes {
    const { sensor, quantity } = series.get(id)
    const stretch = { from: instant(startOf(hour)), to: instant(startOf(hour + 1)) }
    return zonesOf(sensor, quantity, stretch, blocks.lastGoodBefore(id, hour), goodPoints(rows))
  }

  return {
    zonesOfHour,

    /** What was thinned keeps the zones that it was thinned with: they cannot be told from its figures. */
    refreshLeaning(id: number, hour: number, zonesOf: ZonesOf): void {
      for (const later of blocks.leaningOn(id, hour)) {
        const rows = blocks.rows(id, later)
        if (rows) blocks.saveZones(id, later, zonesOfHour(id, later, rows, zonesOf))
      }
    },
  }
}

export const isSamePoint = (a: readonly number[] | null, b: readonly number[] | null): boolean =>
  a?.[0] === b?.[0] && a?.[1] === b?.[1]
