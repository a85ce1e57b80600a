import fc from 'fast-check'
import { expect, test } from 'vitest'
import { namesIn } from '../../daemon/app/names.ts'
import type { PlaceId } from '../../schemas/ids.ts'
import { Signal } from '../../schemas/signal.ts'
import type { Instant } from '../../schemas/units.ts'
import { isConditionOut } from '../../shared/judging/alarm.ts'
import { placesNow } from '../../shared/judging/place-now.ts'
import { signalsOf } from '../../shared/telling/signal.ts'
import { aHousehold, aWatch, dusk, tortoiseBox } from '../support/story.ts'

type Story = ReturnType<typeof aWatch>

const signalsIn = ({ state, now }: Story) =>
  signalsOf(placesNow(state, now), [...state.alarms.values()], namesIn(state.layout.household), now)
const signal = (story: Story, place = 'box') => {
  const found = signalsIn(story).find((one) => one.place === place)
  if (found === undefined) throw new Error(`no signal of ${place}`)
  return Signal.parse(found)
}
const short = (story: Story, place?: string) => {
  const { state, priority, unacknowledged } = signal(story, place)
  return [state, priority, unacknowledged]
}
const frozen = () => aWatch().holds(5, 10).holds(-3, 15)
const ada = (story: Story) => ({ at: story.now, by: 'Ada' })

test('a place that is well says so, and the fridge around it too', () => {
  const story = aWatch().holds(5, 10)
  expect(signal(story)).toEqual({
    place: 'box',
    name: 'Low shelf box',
    state: 'safe',
    priority: null,
    unacknowledged: false,
    sentence: 'Low shelf box is inside its limits.',
    at: '2026-01-10T20:10:00.000Z',
  })
  expect(signal(story, 'fridge')).toMatchObject({ name: 'Cellar fridge', state: 'safe' })
})

test('N1: no value yet, and none any more, are doubt and never safe', () => {
  expect(short(aWatch())).toEqual(['unsure', null, false])
  const story = aWatch().holds(5, 10)
  story.unseenUntil(12)
  expect(short(story)).toEqual(['safe', null, false])
  story.unseenUntil(13)
  expect(short(story)).toEqual(['unsure', null, false])
  expect(signal(story, 'fridge').sentence).toBe('No fresh value to judge Low shelf box by.')
})

test('L2: past a limit whose delay runs it is leaving, and not yet loud', () => {
  const story = aWatch().holds(5, 10).holds(9.5, 11)
  expect(short(story)).toEqual(['leaving', null, false])
  expect(signal(story).sentence).toBe('Low shelf box is past a limit; its delay still runs.')
})

test('A1: raised it rings, acknowledged it only shows, and over it is quiet', () => {
  const story = frozen()
  expect(short(story)).toEqual(['out', 'high', true])
  expect(signal(story).sentence).toMatch(/^Low shelf box is dangerously cold at −3\.0 °C \(limit 1\.0 °C\)\./)
  for (const id of story.state.alarms.keys()) story.does(id, { kind: 'acknowledge', ...ada(story) })
  expect(short(story)).toEqual(['out', 'high', false])
  story.holds(5, 60)
  expect(short(story)).toEqual(['safe', null, false])
})

test('A4: over before anybody answered, it still says that nobody has, without a priority to ring by', () => {
  const story = frozen().holds(5, 60)
  expect(short(story)).toEqual(['safe', null, true])
  expect(signal(story).sentence).toMatch(
    /was dangerously cold .*; it is over, and nobody has acknowledged it\.$/,
  )
  for (const id of story.state.alarms.keys()) story.does(id, { kind: 'acknowledge', ...ada(story) })
  expect(short(story)).toEqual(['safe', null, false])
})

test('A2: shelved it is quiet and still out; when the shelf ends it rings again', () => {
  const story = frozen()
  const until = (story.now + 30 * 60_000) as Instant
  for (const id of story.state.alarms.keys())
    story.does(id, { kind: 'shelve', ...ada(story), until, reason: 'vet' })
  expect(short(story)).toEqual(['out', null, false])
  expect(signal(story).sentence).toContain(', hidden for now.')
  story.holds(-3, 44)
  expect(short(story)).toEqual(['out', null, false])
  story.holds(-3, 46)
  expect(short(story)).toEqual(['out', 'high', true])
})

test('A2: an alarm beside hidden ones rings by its own priority', () => {
  const story = frozen().reaches(29) // and the probe has said nothing since: more alarms
  const until = (story.now + 30 * 60_000) as Instant
  const priorities = () =>
    [...story.state.alarms.values()].flatMap(({ state, priority }) =>
      state.name === 'unacknowledged' ? [priority] : [],
    )
  expect(new Set(priorities())).toEqual(new Set(['high', 'medium']))
  expect(short(story)).toEqual(['out', 'high', true])
  for (const { id, priority } of [...story.state.alarms.values()])
    if (priority === 'high') story.does(id, { kind: 'shelve', ...ada(story), until, reason: 'vet' })
  expect(new Set(priorities())).toEqual(new Set(['medium']))
  expect(short(story)).toEqual(['out', 'medium', true])
  expect(signal(story).sentence).toContain('Box probe has gone silent')
})

test('a fridge and the room around it speak for the box inside: a dark lamp on their door would lie', () => {
  const household = aHousehold({
    ...tortoiseBox,
    places: [
      { id: 'cellar', name: 'Cellar', kind: 'room' },
      { id: 'attic', name: 'Attic', kind: 'room' },
      ...tortoiseBox.places.map((place) => (place.id === 'fridge' ? { ...place, parent: 'cellar' } : place)),
    ],
  })
  const story = aWatch(household).holds(5, 10).holds(-3, 15)
  for (const place of ['box', 'fridge', 'cellar']) {
    expect(short(story, place)).toEqual(['out', 'high', true])
    expect(signal(story, place).sentence).toContain('Low shelf box is dangerously cold')
  }
  expect(signal(story, 'attic')).toMatchObject({
    state: 'idle',
    priority: null,
    unacknowledged: false,
    sentence: 'There is nothing to judge in Attic.',
  })
})

test('places that stand in one another in a ring have signals all the same', () => {
  const story = frozen()
  const places = placesNow(story.state, story.now).map((place) =>
    place.id === 'fridge' ? { ...place, parent: 'box' as PlaceId } : place,
  )
  const signals = signalsOf(places, [...story.state.alarms.values()], namesIn(tortoiseBox), story.now)
  expect(signals.map(({ state }) => state)).toEqual(['out', 'out'])
})

test('X3: the longest names make a message of less than 2 kB, which small clients are told to take', () => {
  const longest = '\u0001'.repeat(60) // JSON writes each as six signs
  const household = aHousehold({
    places: tortoiseBox.places.map((place) => ({ ...place, name: longest })),
    sensors: tortoiseBox.sensors.map((sensor) => ({ ...sensor, name: longest })),
    animals: tortoiseBox.animals,
  })
  for (const story of [
    aWatch(household).holds(5, 10).holds(-3, 15),
    aWatch(household).holds(5, 10).reaches(60),
  ]) {
    expect(signal(story).state).toBe('out')
    expect(Buffer.byteLength(JSON.stringify(signal(story)))).toBeLessThan(2048)
  }
})

const step = fc.oneof(
  fc.record({ hears: fc.double({ min: -6, max: 15, noNaN: true }) }),
  fc.record({ passes: fc.integer({ min: 1, max: 20 }) }),
  fc.record({ acknowledges: fc.constant(true) }),
  fc.record({ shelves: fc.integer({ min: 1, max: 60 }) }),
  fc.record({ tends: fc.integer({ min: 0, max: 30 }) }),
)

test('a signal moves with a place’s state or an alarm’s, not with a reading; and never says safe over an alarm', () => {
  let [still, moved] = [0, 0]
  fc.assert(
    fc.property(fc.array(step, { maxLength: 25 }), (steps) => {
      const story = aWatch()
      let before = view(story)
      for (const one of steps) {
        if ('hears' in one) story.hears(one.hears)
        if ('passes' in one) story.reaches((story.now - dusk) / 60_000 + one.passes)
        if ('tends' in one) story.tends('box', one.tends)
        for (const { id } of [...story.state.alarms.values()]) {
          if ('acknowledges' in one) story.does(id, { kind: 'acknowledge', ...ada(story) })
          if ('shelves' in one)
            story.does(id, {
              kind: 'shelve',
              ...ada(story),
              until: (story.now + one.shelves * 60_000) as Instant,
              reason: 'x',
            })
        }
        const after = view(story)
        if (after.state === before.state) expect(after.signals).toBe(before.signals)
        if (after.state === before.state) still += 1
        else moved += 1
        before = after
        const isOut = [...story.state.alarms.values()].some(({ state }) => isConditionOut(state))
        for (const place of ['box', 'fridge']) expect(signal(story, place).state === 'out').toBe(isOut)
      }
    }),
    { numRuns: 300 },
  )
  expect(Math.min(still, moved)).toBeGreaterThan(100)
}, 60_000)

/** What a signal may depend on, and the signals without their instant. */
function view(story: Story) {
  const places = placesNow(story.state, story.now).map(({ id, standing }) => [id, standing])
  const alarms = [...story.state.alarms.values()]
    .filter(({ state }) => state.name !== 'normal')
    .map(({ id, occurrence, state, value }) => [id, occurrence, state.name, isConditionOut(state), value])
  return {
    state: JSON.stringify([places, alarms]),
    signals: JSON.stringify(signalsIn(story).map(({ at: _, ...signals }) => signals)),
  }
}
