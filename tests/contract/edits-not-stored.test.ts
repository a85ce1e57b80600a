import { describe, expect, test } from 'vitest'
import { notStored } from '../../daemon/app/not-stored.ts'
import { seconds } from '../../schemas/amounts.ts'
import { Place } from '../../schemas/place.ts'
import { editedHouse } from '../support/edited-house.ts'
import { household, tooCold } from '../support/fault-house.ts'

const by = 'Ada'
const bottomBox = Place.parse({ ...household.places[2], name: 'Bottom box' })
const world = editedHouse()

const shown = () => world.daemon.desk.household()
const stored = () => world.daemon.raw.store.household()
const lines = () =>
  world.daemon.raw.store.journal({ limit: 100 }).map(({ kind, text }) => `${kind} ${text ?? ''}`)
const standing = () => world.daemon.desk.alarms().standing.map(({ id, state }) => `${id} ${state.name}`)

describe('N2: while nothing can be stored', () => {
  test('an edit is refused in one sentence, and the old household stays: shown, watched, stored', async () => {
    const trap = world.commitsFail({ mode: 'forEver' })
    await world.hears(5)
    await world.time.pass(seconds(6))
    expect(world.daemon.house.failure()).not.toBeNull()
    expect(world.daemon.desk.savePlace(bottomBox, by)).toEqual(notStored)
    expect(world.daemon.desk.removeAnimal('remus' as never, by)).toEqual(notStored)
    expect(world.daemon.desk.removeContact('bela' as never, by)).toEqual(notStored)
    expect(shown()).toEqual(household)
    trap.mend()
    await world.time.pass(seconds(2))
    expect([shown(), stored()]).toEqual([household, household])
    expect(lines().join()).not.toContain('Bottom box')
  })

  test('the same edit is taken at once when the store works again', async () => {
    const trap = world.commitsFail({ mode: 'forEver' })
    await world.hears(5)
    expect(world.daemon.desk.savePlace(bottomBox, by).ok).toBe(false)
    trap.mend()
    expect(world.daemon.desk.savePlace(bottomBox, by)).toMatchObject({ ok: true })
    expect(stored()?.places[2]?.name).toBe('Bottom box')
    expect(world.daemon.house.failure()).toBeNull()
  })

  test('A4: an alarm is raised, acknowledged and at rest from memory, and the journal has it afterwards', async () => {
    await world.hears(5)
    const trap = world.commitsFail({ mode: 'forEver' })
    for (let i = 0; i < 3; i++) await world.hears(-1 - i / 16)
    const alarm = world.daemon.house.state().alarms.get(tooCold)
    expect(alarm?.state.name).toBe('unacknowledged')
    expect(world.daemon.desk.acknowledge(tooCold, alarm?.occurrence ?? 0, by)).toMatchObject({
      ok: true,
      value: { state: { name: 'acknowledged', by } },
    })
    expect(standing()).toContain(`${tooCold} acknowledged`)
    expect(world.daemon.desk.savePlace(bottomBox, by)).toEqual(notStored)
    expect(standing()).toContain(`${tooCold} acknowledged`)
    trap.mend()
    await world.time.pass(seconds(2))
    const kinds = world.daemon.raw.store
      .journal({ limit: 100 })
      .flatMap((l) => (l.alarm === tooCold ? [l.kind] : []))
    expect(kinds).toEqual(expect.arrayContaining(['raised', 'acknowledged']))
  })
})

describe('N2: an edit whose own commit fails', () => {
  test('is refused, leaves the household and its alarms as they were, and nothing of it is stored later', async () => {
    await world.hears(5)
    for (let i = 0; i < 3; i++) await world.hears(-1 - i / 16)
    world.daemon.house.commit()
    const before = { alarms: standing(), lines: lines() }
    expect(before.alarms).toContain(`${tooCold} unacknowledged`)
    const trap = world.commitsFail({ mode: 'once' })
    // Without its sensor the shelf's alarm would go too
    expect(world.daemon.desk.removeSensor('one' as never, by)).toEqual(notStored)
    expect(trap.hasHappened()).toBe(true)
    expect({ alarms: standing(), lines: lines() }).toEqual(before)
    world.daemon.house.commit()
    await world.hears(-1.25)
    expect([shown(), stored()]).toEqual([household, household])
    expect(lines().join()).not.toContain('Removed the sensor')
    expect(world.daemon.desk.removeSensor('one' as never, by)).toEqual({ ok: true, value: null })
    expect(stored()?.sensors.map(({ id }) => id)).toEqual(['two'])
  })

  test('nobody hears of it live', async () => {
    await world.hears(5)
    world.daemon.house.commit()
    const heard: string[] = []
    world.daemon.desk.subscribe(({ kind }) => heard.push(kind))
    world.commitsFail({ mode: 'once' })
    expect(world.daemon.desk.savePlace(bottomBox, by)).toEqual(notStored)
    expect(heard).toEqual([])
    expect(world.daemon.desk.savePlace(bottomBox, by)).toMatchObject({ ok: true })
    expect(heard).toEqual(expect.arrayContaining(['tonight', 'journal']))
  })
})
