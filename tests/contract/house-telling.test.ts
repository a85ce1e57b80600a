import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { makeAnswers } from '../../daemon/app/answers.ts'
import { hmacSeal } from '../../daemon/host/seal.ts'
import { hours, minutes } from '../../schemas/amounts.ts'
import type { ContactId } from '../../schemas/ids.ts'
import type { Parcel } from '../../schemas/outbox.ts'
import type { Instant } from '../../schemas/units.ts'
import { temporaryFolder } from '../support/store-world.ts'
import { dusk } from '../support/story.ts'
import { aTellingHouse, clock, seal, time } from '../support/telling-house.ts'

let folder: ReturnType<typeof temporaryFolder>
let world: ReturnType<typeof aTellingHouse>

const words = ({ kind, channel, state }: Parcel): string => `${kind} ${channel} ${state}`

beforeEach(() => {
  folder = temporaryFolder()
  time.now = dusk
  world = aTellingHouse(folder.path)
  world.read(5)
})
afterEach(() => {
  world.close()
  folder.remove()
})

const freeze = () => world.pass(minutes(2), -1)

describe('telling, kept with the alarm', () => {
  test('a raising puts one message for each channel of the first contact into the store, then hands them over', () => {
    freeze()
    expect(world.outbox.waiting().map(words).toSorted()).toEqual([
      'raised ada-mail waiting',
      'raised ada-work waiting',
    ])
    expect(world.put.map(words).toSorted()).toEqual(['raised ada-mail waiting', 'raised ada-work waiting'])
    const kinds = world.store.journal({ limit: 10 }).map(({ kind }) => kind)
    expect(kinds).toContain('raised')
  })

  test('each contact is told in their own degrees and local time', () => {
    freeze()
    world.pass(minutes(11), -1)
    const bela = world.put.find(({ contact }) => contact === 'bela')
    expect(bela?.message.title).toBe('ALARM: Low shelf box 30.2 °F, dangerously cold')
    expect(bela?.message.text).toContain('Since 14:0')
    expect(world.put[0]?.message.text).toContain('Since 21:0')
  })

  test('L7: after a restart it goes on where it was: no second beginning, the next repeat in its time', () => {
    freeze()
    world.close()
    world = aTellingHouse(folder.path)
    world.pass(minutes(2), -1)
    expect(world.put).toEqual([])
    world.pass(minutes(2), -1)
    expect(world.put.map(({ kind }) => kind)).toEqual(['again', 'again'])
    world.pass(minutes(8), -1)
    expect(world.put.map(({ contact }) => contact)).toContain('bela')
  })

  test('an answer takes back what still waits, stops the rest, and the end is told once', () => {
    freeze()
    const alarm = [...world.house.state().alarms.values()][0]
    if (alarm === undefined) throw new Error('no alarm')
    world.house.take(
      { kind: 'person', alarm: alarm.id, act: { kind: 'acknowledge', at: time.now as Instant, by: 'Ada' } },
      'soon',
    )
    expect(world.settled.at(-1)).toBe(`${alarm.id}: Ada answered it first.`)
    const [before] = world.put
    if (before === undefined) throw new Error('nothing was said')
    expect(world.house.refresh(before)).toBeNull()
    const count = world.put.length
    world.pass(hours(1), -1)
    expect(world.put).toHaveLength(count)
    world.pass(hours(1), 5)
    expect(world.put.slice(count).map(words)).toEqual([
      'returned ada-mail waiting',
      'returned ada-work waiting',
    ])
  })

  test('what is said late is said as it is then', () => {
    freeze()
    const [first] = world.put
    if (first === undefined) throw new Error('nothing was said')
    time.now += minutes(1)
    world.read(-2.5)
    const fresh = world.house.refresh(first)
    expect(fresh?.text).toContain('Now −2.5 °C.')
    expect(fresh?.text).toContain('ago.')
  })

  test('N1: out of reach passes on, raises an alarm told to the others, and ends when reached', () => {
    freeze()
    world.house.reach('ada' as ContactId, false, 'The relay fails.')
    expect(
      world.put
        .filter(({ contact }) => contact === 'bela')
        .map(({ message }) => message.title)
        .toSorted(),
    ).toEqual(['ALARM: Low shelf box 30.2 °F, dangerously cold', 'Look soon: Ada cannot be reached'])
    world.house.reach('ada' as ContactId, false, 'Still.')
    expect(world.put.filter(({ contact }) => contact === 'bela')).toHaveLength(2)
    world.house.reach('ada' as ContactId, true, 'It works again.')
    expect(world.put.at(-1)?.message.title).toBe('Ada can be reached again')
    expect(world.store.journal({ limit: 3 }).map(({ kind, contact }) => [kind, contact])).toContainEqual([
      'returned',
      'ada',
    ])
  })

  test('a contact who is removed takes the alarm about them along', () => {
    world.house.reach('ada' as ContactId, false, 'The relay fails.')
    const { contacts, ...rest } = world.house.state().layout.household
    world.house.rehouse(
      { ...rest, contacts: contacts.filter(({ id }) => id !== 'ada') },
      { at: time.now as Instant, kind: 'changed', by: 'Ada' },
    )
    expect([...world.house.state().alarms.keys()]).toEqual([])
  })

  test('N2: with the disk full the message goes out all the same, and is kept when there is room again', () => {
    const pages = world.db.pragma('page_count', { simple: true }) as number
    world.db.pragma(`max_page_count = ${pages}`)
    // Fill what is free in the file's own pages, so that nothing more fits.
    for (let i = 0; i < 3000; i++) {
      try {
        world.house.note({ at: time.now as Instant, kind: 'changed', by: 'Ada', text: 'x'.repeat(490) })
      } catch {
        break
      }
    }
    freeze()
    expect(() => world.db.exec('CREATE TABLE more (x)')).toThrow(/full/)
    expect(world.put.map(({ kind }) => kind)).toContain('raised')
    expect(world.outbox.waiting()).toEqual([])
    world.db.pragma('max_page_count = 1073741823')
    world.pass(minutes(1), -1)
    expect(world.outbox.waiting().map(({ kind }) => kind)).toContain('raised')
    expect(
      world.put.filter(({ kind, alarm }) => kind === 'raised' && alarm?.startsWith('limit')),
    ).toHaveLength(2)
  })
})

describe('X1: the link in a message', () => {
  const answers = () =>
    makeAnswers({
      house: world.house,
      clock,
      seal,
      roleOf: () => 'keeper',
      acts: {
        acknowledge(id, _occurrence, by) {
          world.house.take(
            { kind: 'person', alarm: id, act: { kind: 'acknowledge', at: time.now as Instant, by } },
            'soon',
          )
          const alarm = world.house.state().alarms.get(id)
          if (alarm === undefined) throw new Error('gone')
          return { ok: true, value: alarm }
        },
        shelve: () => ({ ok: false, error: 'notNow', sentence: 'Not here.' }),
        tend: () => ({ ok: false, error: 'noSuchPlace', sentence: 'Not here.' }),
        rang: () => ({ ok: true, value: null }),
      },
    })
  const tokenOf = (parcel: Parcel | undefined) => parcel?.message.link?.split('#')[1] ?? ''

  test('answers its own raising, twice without harm, and says who was quicker', () => {
    freeze()
    world.pass(minutes(11), -1)
    const ada = tokenOf(world.put.find(({ contact }) => contact === 'ada'))
    const bela = tokenOf(world.put.find(({ contact }) => contact === 'bela'))
    expect(answers().look(ada)).toMatchObject({
      ok: true,
      value: {
        name: 'Ada',
        canAcknowledge: true,
        canTend: true,
        headline: expect.stringContaining('−1.0 °C') as string,
      },
    })
    expect(answers().acknowledge(bela)).toMatchObject({ ok: true, value: { canAcknowledge: false } })
    for (const token of [ada, bela, ada])
      expect(answers().acknowledge(token)).toMatchObject({
        ok: true,
        value: { sentence: expect.stringMatching(/^Bela acknowledged it at/) as string },
      })
    expect(world.store.journal({ limit: 50 }).filter(({ kind }) => kind === 'acknowledged')).toHaveLength(1)
  })

  test('is good for 24 hours, to the millisecond', () => {
    freeze()
    const [first] = world.put
    const token = tokenOf(first)
    time.now = (first?.bornAt ?? 0) + hours(24) - 1
    expect(answers().look(token).ok).toBe(true)
    time.now += 1
    expect(answers().look(token)).toMatchObject({ ok: false, error: 'oldLink' })
  })

  test('answers no later raising of the same alarm', () => {
    freeze()
    const old = tokenOf(world.put[0])
    world.pass(hours(1), 5)
    freeze()
    expect(answers().acknowledge(old)).toMatchObject({ ok: false, error: 'earlierOccurrence' })
    expect(answers().look(old)).toMatchObject({
      ok: true,
      value: { canAcknowledge: false, canShelve: false },
    })
  })

  test('of a test answers no alarm, and of an alarm confirms no test', () => {
    freeze()
    const ring = world.house.ring('ada', 'ada-mail')
    const token = ring?.message.acknowledgeLink?.split('#')[1] ?? ''
    expect(answers().acknowledge(token)).toMatchObject({ ok: false, error: 'badLink' })
    expect(answers().rang(tokenOf(world.put[0]))).toMatchObject({ ok: false, error: 'badLink' })
    expect(answers().rang(token)).toMatchObject({ ok: true })
  })

  test('of another household, another contact, or a forger is refused', () => {
    freeze()
    const token = tokenOf(world.put[0])
    const forged = hmacSeal(new Uint8Array(32).fill(8)).seal(seal.open(token) ?? '')
    expect(answers().look(forged)).toMatchObject({ ok: false, error: 'badLink' })
    const gone = seal.seal((seal.open(token) ?? '').replace('"ada"', '"zoe"'))
    expect(answers().look(gone)).toMatchObject({ ok: false, error: 'oldLink' })
    for (const odd of ['', '.', 'a.b', seal.seal('["x"]')])
      expect(answers().look(odd)).toMatchObject({ ok: false, error: 'badLink' })
  })
})
