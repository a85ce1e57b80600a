import { type House, openHouse } from '../../daemon/app/house.ts'
import { hmacSeal } from '../../daemon/host/seal.ts'
import type { Clock } from '../../daemon/ports/clock.ts'
import type { Store } from '../../daemon/ports/store.ts'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import { sqliteOutbox } from '../../daemon/sqlite/outbox.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import { seconds } from '../../schemas/amounts.ts'
import { Household } from '../../schemas/household.ts'
import type { SensorId } from '../../schemas/ids.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { dusk, tortoiseBox } from './story.ts'

export const seal = hmacSeal(new Uint8Array(32).fill(7))
const mailOf = (id: string) => ({
  id: `${id}-mail`,
  kind: 'mail',
  label: 'Mail',
  address: `${id}@frog-house.example`,
})
const household = Household.parse({
  ...tortoiseBox,
  contacts: [
    { id: 'ada', name: 'Ada', channels: [mailOf('ada'), { ...mailOf('ada'), id: 'ada-work' }] },
    {
      id: 'bela',
      name: 'Bela',
      units: 'fahrenheit',
      timeZone: 'America/Winnipeg',
      channels: [mailOf('bela')],
    },
    { id: 'cleo', name: 'Cleo' },
  ],
})

/** The house's time, in ms: moved by hand. */
export const time = { now: dusk }
export const clock: Clock = { now: () => time.now as Instant, uptime: () => time.now as Millis }
const noLog = { debug() {}, info() {}, warn() {}, error() {} }

/** A house on real SQLite in `folder`, whose outbox only remembers what it was given. */
export function aTellingHouse(folder: string) {
  const db = openDatabase(folder, { log: noLog })
  const store: Store = sqliteStore(db)
  const put: Parcel[] = []
  const settled: string[] = []
  const waits: { at: number; act: () => void }[] = []
  const house: House = openHouse({
    store,
    clock,
    timer: {
      soon: (act) => act(),
      after: (ms, act) => {
        const wait = { at: time.now + ms, act }
        waits.push(wait)
        return { cancel: () => void waits.splice(waits.indexOf(wait), 1) }
      },
    },
    log: noLog,
    profileOf,
    commitEvery: seconds(5),
    newHousehold: () => household,
    messages: { seal, address: () => 'https://house.example', isPractice: false },
  })
  house.sendBy({
    put: (parcels) => put.push(...parcels.filter(({ key }) => !put.some((known) => known.key === key))),
    settle: (alarm, why) => settled.push(`${alarm}: ${why}`),
  })
  const read = (celsius: number, at = time.now) =>
    house.take(
      {
        kind: 'reading',
        heardAt: time.now as Instant,
        reading: { sensor: 'probe' as SensorId, quantity: 'temperature', value: celsius, at: at as Instant },
      },
      'soon',
    )
  return {
    db,
    store,
    house,
    put,
    settled,
    outbox: sqliteOutbox(db),
    read,
    /** Time goes on in steps of half a minute, with a reading each. */
    pass(ms: number, celsius: number) {
      for (const end = time.now + ms; time.now < end; ) {
        time.now = Math.min(end, time.now + 30_000)
        for (const wait of waits.filter(({ at }) => at <= time.now)) {
          waits.splice(waits.indexOf(wait), 1)
          wait.act()
        }
        // a value that never moves would be taken for a stuck sensor
        read(celsius - ((time.now / 30_000) % 2) * 0.01)
        house.take({ kind: 'timePassed', at: time.now as Instant }, 'group')
      }
    },
    close() {
      house.close()
      store.close()
    },
  }
}
