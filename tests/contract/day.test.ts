import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { makeTeller } from '../../daemon/app/teller.ts'
import { hmacSeal } from '../../daemon/host/seal.ts'
import { days, hours, later } from '../../schemas/amounts.ts'
import type { DiaryNote } from '../../schemas/diary.ts'
import { AnimalId, EntryId, PlaceId, SensorId } from '../../schemas/ids.ts'
import { DayList, type Reminder } from '../../schemas/season.ts'
import { nothingTold } from '../../shared/telling/telling-state.ts'
import { morningList } from '../../shared/telling/morning-list.ts'
import { wallInstant } from '../../shared/time/wall.ts'
import { noon, steps, zone } from '../support/animal-subjects.ts'
import { quickFolder } from '../support/kept-house.ts'
import { aWinterHouse, keeper, type WinterHouse, winterHousehold } from '../support/winter-house.ts'

const [fridge, box, crickets] = ['fridge', 'box', 'crickets'].map((id) => PlaceId.parse(id)) as [
  PlaceId,
  PlaceId,
  PlaceId,
]
const plan = steps(
  ['coolDown', '2026-10-29'],
  ['hold', '2026-11-19'],
  ['warmUp', '2027-01-28'],
  ['awake', '2027-01-31'],
)
const usual = winterHousehold()
const [pebble] = usual.animals
const start = noon('2026-11-29')

const household = winterHousehold({
  places: [
    ...usual.places,
    {
      id: 'crickets',
      name: 'Cricket tub',
      kind: 'culture',
      culture: { food: 'houseCricket', unit: 'pieces', weeklyUse: 70, orderWeeks: 1 },
    },
  ],
  sensors: [
    ...usual.sensors,
    { id: 'tub', name: 'Tub', place: 'crickets', topic: 'tub/probe', expectedEvery: 300_000 },
  ],
  animals: [
    { ...pebble, plan },
    { ...pebble, id: 'juno', name: 'Juno', plan },
  ],
  contacts: [
    {
      id: 'ada',
      name: 'Ada',
      channels: [{ id: 'mail', kind: 'mail', label: 'Mail', address: 'ada@brumal.example' }],
    },
  ],
})

let folder: ReturnType<typeof quickFolder>
let house: WinterHouse
beforeEach(() => {
  folder = quickFolder()
  house = aWinterHouse(folder.path, { now: start, household })
})
afterEach(() => {
  house.close()
  folder.remove()
})

let entries = 0
function note(of: { animal?: AnimalId; place?: PlaceId }, what: DiaryNote, ago = 0): EntryId {
  entries += 1
  const id = EntryId.parse(`day-${entries}`)
  const saved = house.desk.saveEntry({ id, at: later(house.time.now, -ago), ...of, note: what }, keeper)
  if (!saved.ok) throw new Error(saved.sentence)
  return id
}
const day = (ahead = 14): DayList => DayList.parse(house.desk.day(ahead))
const due = (): string[] => day().due.map(({ id }) => id)
const of = (kind: Reminder['kind']): string[] => due().filter((id) => id.startsWith(`${kind}:`))
const animal = (id: string) => ({ animal: AnimalId.parse(id) })

describe('S4: the day list of a house', () => {
  test('ten days into the hold with nothing noted: the entry weigh-in of each, one airing for the fridge, looks, the count', () => {
    expect(due()).toEqual([
      'hold:juno:2026-11-19',
      'hold:pebble:2026-11-19',
      'air:fridge:2026-11-26',
      'look:juno:2026-11-20',
      'look:pebble:2026-11-20',
      'count:crickets:first',
    ])
    expect(day().coming.map(({ on }) => on)).toEqual(
      day()
        .coming.map(({ on }) => on)
        .sort(),
    )
    expect(day(0).coming).toEqual([])
  })

  test('noting it makes it go, taking the note back brings it back, and it stands under what was done', () => {
    const id = note(animal('pebble'), { kind: 'weighed', grams: 900 })
    expect([...of('hold'), ...of('look')]).toEqual(['hold:juno:2026-11-19', 'look:juno:2026-11-20'])
    expect(day().done.map((line) => line.id)).toEqual([id])
    house.desk.removeEntry(id, keeper)
    expect(of('hold')).toHaveLength(2)
    expect(day().done).toEqual([])
  })

  test('what was noted yesterday is not done today', () => {
    note(animal('pebble'), { kind: 'looked' }, hours(13))
    expect(day().done).toEqual([])
  })

  test.each([
    [
      'a door that the curve or a contact saw',
      () => house.house.note({ at: house.time.now, kind: 'doorOpened', by: 'brumal', place: box }),
    ],
    ['a note of the fridge', () => note({ place: fridge }, { kind: 'aired' })],
    ['a note of a box in it', () => note({ place: box }, { kind: 'aired' })],
  ])('%s counts as airing', (_, air) => {
    expect(of('air')).toEqual(['air:fridge:2026-11-26'])
    air()
    expect(of('air')).toEqual([])
    expect(day().coming.find(({ kind }) => kind === 'air')?.id).toBe('air:fridge:2026-12-06')
  })

  test('eight days after a door was opened the fridge is to be aired: weekly rule (ACT; BTK once or twice a week)', () => {
    note({ place: fridge }, { kind: 'aired' })
    house.time.now = later(start, days(6))
    expect(of('air')).toEqual([])
    house.time.now = later(start, days(8))
    expect(of('air')).toEqual(['air:fridge:2026-12-06'])
  })

  test('a look at the fridge is a look at all in it, a look elsewhere is none', () => {
    note({ place: crickets }, { kind: 'looked' })
    expect(of('look')).toHaveLength(2)
    note({ place: fridge }, { kind: 'looked' })
    expect(of('look')).toEqual([])
  })
})

describe('S5: the cultures of a house', () => {
  const warm = (celsius: number, at = house.time.now) =>
    house.house.take(
      {
        kind: 'reading',
        heardAt: at,
        reading: { sensor: SensorId.parse('tub'), quantity: 'temperature', value: celsius, at },
      },
      'soon',
    )

  test('counted, it has weeks; the warmth of the last week is that of its own thermometer', () => {
    expect(house.desk.cultures()).toMatchObject([{ place: 'crickets', stock: null, warmth: null }])
    note({ place: crickets }, { kind: 'counted', amount: 280 })
    for (let n = 12; n >= 0; n -= 1) {
      house.time.now = later(start, -n * 300_000)
      warm(18 + (n % 2) * 0.01)
    }
    house.time.now = start
    const [culture] = house.desk.cultures()
    expect(culture).toMatchObject({
      weeksLeft: 4,
      orderBy: '2026-12-13',
      isLow: false,
      warmth: { standing: 'slow' },
    })
    expect(culture?.warmth?.celsius).toBeCloseTo(18, 1)
    expect(of('count')).toEqual([])
  })

  test('an hour below 20 °C is told of at low priority, at 20 °C nothing is', () => {
    const alarms = () => [...house.house.state().alarms.values()].filter(({ place }) => place === crickets)
    const pass = (celsius: number, ms: number) => {
      for (const end = house.time.now + ms; house.time.now < end; ) {
        house.time.now = later(house.time.now, 300_000)
        warm(celsius + ((house.time.now / 300_000) % 2) * 0.01)
        house.house.take({ kind: 'timePassed', at: house.time.now }, 'group')
      }
    }
    pass(20, hours(2))
    expect(alarms().filter(({ limit }) => limit !== null)).toEqual([])
    pass(19.5, hours(0.9))
    expect(alarms().filter(({ limit }) => limit !== null)).toEqual([])
    pass(19.5, hours(0.3))
    expect(alarms().filter(({ limit }) => limit !== null)).toMatchObject([{ limit: 'low', priority: 'low' }])
  })
})

describe('S4: the morning message', () => {
  const eight = (date: string) => wallInstant(date, '08:00', zone)
  const teller = (tasksToday?: () => readonly string[]) =>
    makeTeller(nothingTold, {
      store: house.store,
      seal: hmacSeal(new Uint8Array(32)),
      address: () => 'https://brumal.home.example',
      isPractice: false,
      ...(tasksToday !== undefined && { tasksToday }),
    })
  const tasks = () => morningList(house.desk.day(0).due)
  const watch = () => house.house.state()

  test('at the end of the night it says what is to be done, once, to the first contact, at low priority', () => {
    const told = teller(tasks)
    expect(told.pass(watch(), start).parcels).toEqual([])
    expect(told.pass(watch(), later(eight('2026-11-30'), -1)).parcels).toEqual([])
    const { parcels } = told.pass(watch(), eight('2026-11-30'))
    expect(parcels.map(({ kind, contact, message }) => [kind, contact, message.priority])).toEqual([
      ['summary', 'ada', 'low'],
    ])
    expect(parcels[0]?.message.text).toBe(
      'Today:\n– Hold begins for Juno\n– Hold begins for Pebble\n– Air Fridge\n– Look at Juno and Pebble\n– Count Cricket tub\nNot veterinary advice: ask a reptile vet. Mains and water do not mix.',
    )
    expect(parcels[0]?.message.link).toBe('https://brumal.home.example/day')
    expect(told.pass(watch(), later(eight('2026-11-30'), 1)).parcels).toEqual([])
    expect(told.pass(watch(), eight('2026-12-01')).parcels).toHaveLength(1)
  })

  test('nothing due, nothing said; nor where nobody is to be reminded, as in practice', () => {
    for (const told of [teller(() => []), teller()]) {
      told.pass(watch(), start)
      expect(told.pass(watch(), eight('2026-11-30')).parcels).toEqual([])
    }
  })

  test('the morning in which it begins is not told of; nor is one that is hours past', () => {
    const told = teller(tasks)
    expect(told.pass(watch(), eight('2026-11-29')).parcels).toEqual([])
    expect(told.pass(watch(), later(eight('2026-11-30'), hours(4))).parcels).toEqual([])
    expect(told.pass(watch(), later(eight('2026-12-01'), hours(4) - 1)).parcels).toHaveLength(1)
  })

  test('N2: a diary that cannot be read keeps no alarm from being told', () => {
    const told = teller(() => {
      throw new Error('disk I/O error')
    })
    told.pass(watch(), start)
    expect(told.pass(watch(), eight('2026-11-30')).parcels).toEqual([])
  })

  test('switched off, nobody is told', () => {
    const next = { ...house.household(), telling: { ...house.household().telling, morningList: false } }
    house.house.rehouse(next, { at: house.time.now, kind: 'changed', by: keeper, text: 'No list.' })
    const told = teller(tasks)
    told.pass(watch(), start)
    expect(told.pass(watch(), eight('2026-11-30')).parcels).toEqual([])
  })
})
