import { type House, openHouse } from '../../daemon/app/house.ts'
import { hmacSeal } from '../../daemon/host/seal.ts'
import type { Store } from '../../daemon/ports/store.ts'
import { seconds } from '../../schemas/amounts.ts'
import type { Household } from '../../schemas/household.ts'
import type { Millis } from '../../schemas/units.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import type { SimulatedTime } from './simulated-time.ts'

/** The real house over `store`, which holds `household` unless it holds another already; commits at once unless told otherwise. */
export function houseOver(
  store: Store,
  { clock, timer }: Pick<SimulatedTime, 'clock' | 'timer'>,
  household: Household,
  commitEvery: Millis = seconds(0),
): House {
  return openHouse({
    store,
    clock,
    timer,
    log: { debug() {}, info() {}, warn() {}, error() {} },
    profileOf,
    commitEvery,
    newHousehold: () => household,
    messages: { seal: hmacSeal(new Uint8Array(32)), address: () => 'http://localhost', isPractice: false },
  })
}
