import { openDay } from '../../daemon/app/day.ts'
import { openDiary } from '../../daemon/app/diary.ts'
import { openHouse } from '../../daemon/app/house.ts'
import { savesAnimal } from '../../daemon/app/save-animal.ts'
import { openSeason } from '../../daemon/app/season.ts'
import { savesHousehold } from '../../daemon/app/save-household.ts'
import { makeJudges } from '../../daemon/app/standing.ts'
import { hmacSeal } from '../../daemon/host/seal.ts'
import type { Clock } from '../../daemon/ports/clock.ts'
import type { Store } from '../../daemon/ports/store.ts'
import type { DiaryStore } from '../../daemon/ports/season.ts'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import { sqliteDiary } from '../../daemon/sqlite/diary.ts'
import { sqliteStore } from '../../daemon/sqlite/store.ts'
import { days, later, seconds } from '../../schemas/amounts.ts'
import { Animal } from '../../schemas/animal.ts'
import type { LiveEvent } from '../../schemas/api.ts'
import type { DiaryNote } from '../../schemas/diary.ts'
import { Household } from '../../schemas/household.ts'
import { AnimalId, EntryId, SensorId } from '../../schemas/ids.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { allWell } from './animal-subjects.ts'
import { seasonProfileOf } from './season-profiles.ts'

export const pebbleId = AnimalId.parse('pebble')
export const keeper = 'Ada'

/** A grown tortoise in a box in a fridge that was run empty; its probe in the box; a warm shelf beside. */
export const winterHousehold = (more: object = {}): Household =>
  Household.parse({
    version: 1,
    name: 'Winter house',
    timeZone: 'Europe/Vienna',
    places: [
      { id: 'fridge', name: 'Fridge', kind: 'fridge', trial: { from: 1, until: 2, by: keeper } },
      { id: 'box', name: 'Low box', kind: 'box', parent: 'fridge' },
      { id: 'shelf', name: 'Shelf', kind: 'enclosure' },
    ],
    sensors: [{ id: 'probe', name: 'Probe', place: 'box', topic: 'cellar/probe', expectedEvery: 300_000 }],
    animals: [
      {
        id: 'pebble',
        name: 'Pebble',
        species: 'test-tortoise',
        place: 'box',
        mode: 'goesDown',
        hatched: '2012-06',
        since: '2015',
        sex: 'male',
        hasWintered: true,
      },
    ],
    ...more,
  })

/** A house on real SQLite in `folder`, its clock moved by hand, with the winter's part of the desk. */
export function aWinterHouse(
  folder: string,
  options: {
    readonly now: Instant
    readonly household?: Household
    /** What the parts are given in place of the store and the diary. */
    readonly around?: (store: Store) => Store
    readonly aroundDiary?: (diary: DiaryStore) => DiaryStore
  },
) {
  const time = { now: options.now, hasRung: true }
  const clock: Clock = { now: () => time.now, uptime: () => time.now as unknown as Millis }
  const db = openDatabase(folder, { log: noLog })
  const store = (options.around ?? ((one: Store) => one))(sqliteStore(db))
  const diary = (options.aroundDiary ?? ((one: DiaryStore) => one))(sqliteDiary(db))
  const house = openHouse({
    store,
    clock,
    timer: { soon: (act) => act(), after: () => ({ cancel: () => undefined }) },
    log: noLog,
    profileOf: seasonProfileOf,
    commitEvery: seconds(0),
    newHousehold: () => options.household ?? winterHousehold(),
    messages: { seal: hmacSeal(new Uint8Array(32)), address: () => 'http://localhost', isPractice: false },
  })
  const heard: LiveEvent[] = []
  house.subscribe((event) => heard.push(event))
  const save = savesHousehold({ house, clock, profileOf: seasonProfileOf, onSensors: () => undefined })
  const world = {
    house,
    store,
    diary,
    clock,
    catalogue: seasonProfileOf,
    save,
    hasRung: () => time.hasRung,
  }
  const judges = makeJudges(world)
  const season = openSeason(world, { judges, cultures: () => day.cultures() })
  const day = openDay(world, season.standing)
  const desk = {
    ...season,
    ...day,
    ...savesAnimal(world, judges),
    ...openDiary({
      household: () => house.state().layout.household,
      diary,
      clock,
      note: house.note,
      publish: house.publish,
    }),
  }
  let entries = 0
  const household = () => house.state().layout.household
  const parts = {
    time,
    store,
    diary,
    house,
    heard,
    desk,
    household,
    pebble: (): Animal => {
      const found = household().animals.find(({ id }) => id === pebbleId)
      if (found === undefined) throw new Error('There is no Pebble.')
      return found
    },
    journal: () => store.journal({ limit: 1000 }).toReversed(),
    noted: (kinds: readonly DiaryNote['kind'][]) => diary.entries({ animal: pebbleId, kinds }).toReversed(),
    /** Notes something about Pebble, so many days before now. */
    note(ago: number, note: DiaryNote) {
      const saved = desk.saveEntry(
        {
          id: EntryId.parse(`e-${(entries += 1)}`),
          at: later(time.now, -days(ago)),
          animal: pebbleId,
          note,
        },
        keeper,
      )
      if (!saved.ok) throw new Error(saved.sentence)
    },
    /** The probe in the box is heard. */
    read(celsius: number) {
      const reading = {
        sensor: SensorId.parse('probe'),
        quantity: 'temperature' as const,
        value: celsius,
        at: time.now,
      }
      house.take({ kind: 'reading', heardAt: time.now, reading }, 'soon')
      house.take({ kind: 'timePassed', at: time.now }, 'group')
    },
    /** Time goes on by steps of five minutes, with a reading each. */
    hold(ms: number, celsius: number) {
      for (const end = time.now + ms; time.now < end; ) {
        time.now = Math.min(end, time.now + 300_000) as Instant
        // a value that never moves would be taken for a stuck sensor
        parts.read(celsius - ((time.now / 300_000) % 2) * 0.01)
      }
    },
    /** All that the gate asks for, as of now. */
    makeFit() {
      parts.note(40, { kind: 'checked', answers: allWell })
      parts.note(30, { kind: 'fed', eaten: 'all' })
      parts.note(20, { kind: 'passed', faeces: true, urates: true, urine: true })
      parts.note(2, { kind: 'scored', scale: 'visualFive', score: 3 })
      parts.note(2, { kind: 'weighed', grams: 900 })
      parts.read(21)
    },
    close() {
      house.close()
      db.close()
    },
  }
  return parts
}

export type WinterHouse = ReturnType<typeof aWinterHouse>

const noLog = { debug() {}, info() {}, warn() {}, error() {} }
