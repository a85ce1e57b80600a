import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { instant } from '../../schemas/amounts.ts'
import { ChannelId, ContactId } from '../../schemas/ids.ts'
import {
  conditionOf,
  failingAfter,
  nothingTried,
  type ReachChange,
  type ReachEvent,
  type ReachState,
  recalledReach,
  stepReach,
} from '../../shared/telling/reach.ts'
import { delivered, waitingParcel } from '../support/waiting-parcel.ts'

const ada = ContactId.parse('ada')
const phone = ChannelId.parse('ada-phone')
const mail = ChannelId.parse('ada-mail')

/** Tries told one after the other, a second apart; `own` are the channels that Ada has just then. */
function aReach(own: readonly ChannelId[], before: ReachState = nothingTried) {
  let state = before
  let at = 0
  const said: ReachChange[] = []
  const reach = {
    said,
    hears(kind: ReachEvent['kind'], channel: ChannelId, left = own) {
      at += 1000
      const event = {
        kind,
        channel,
        contact: ada,
        at: instant(at),
        sentence: `${channel}: ${kind} at ${at}.`,
      }
      const [next, change] = stepReach(state, event, () => left)
      state = next
      if (change !== null) said.push(change)
      return reach
    },
    condition: (channel: ChannelId) => conditionOf(state, channel),
    words: () => said.map(({ isReached }) => (isReached ? 'reached' : 'out of reach')),
  }
  return reach
}

describe('one channel', () => {
  test('N1: two failures in a row are none yet; the third puts its contact out of reach, once', () => {
    const reach = aReach([phone]).hears('failed', phone).hears('failed', phone)
    expect([reach.words(), reach.condition(phone).condition]).toEqual([[], 'unknown'])
    reach.hears('failed', phone)
    expect(reach.said).toEqual([{ contact: ada, isReached: false, sentence: 'ada-phone: failed at 3000.' }])
    reach.hears('failed', phone).hears('lost', phone)
    expect(reach.words()).toEqual(['out of reach'])
  })

  test('N1: failures with a delivery between them do not add up', () => {
    const reach = aReach([phone]).hears('delivered', phone)
    reach.hears('failed', phone).hears('failed', phone).hears('delivered', phone)
    reach.hears('failed', phone).hears('failed', phone)
    expect([reach.words(), reach.condition(phone).condition]).toEqual([['reached'], 'working'])
  })

  test.each(['lost', 'gone'] as const)('N1: a message that is %s makes it fail at once', (kind) => {
    const reach = aReach([phone]).hears('delivered', phone).hears(kind, phone)
    expect([reach.words(), reach.condition(phone).condition]).toEqual([
      ['reached', 'out of reach'],
      'failing',
    ])
  })

  test('N1: one delivery makes its contact reached again, and says so once', () => {
    const reach = aReach([phone]).hears('lost', phone).hears('delivered', phone).hears('delivered', phone)
    expect(reach.words()).toEqual(['out of reach', 'reached'])
    expect(reach.said[1]?.sentence).toBe('ada-phone: delivered at 2000.')
  })

  test('shows what came of its last try, and when; unknown before the first', () => {
    const reach = aReach([phone])
    expect(reach.condition(phone)).toEqual({ condition: 'unknown', lastSentence: null, lastAt: null })
    reach.hears('delivered', phone).hears('failed', phone)
    expect(reach.condition(phone)).toEqual({
      condition: 'working',
      lastSentence: 'ada-phone: failed at 2000.',
      lastAt: 2000,
    })
  })
})

describe('a contact with several channels', () => {
  test('N1: is out of reach only when all fail; one that was never tried may still work', () => {
    const reach = aReach([phone, mail]).hears('lost', phone)
    expect(reach.words()).toEqual([])
    reach.hears('failed', mail).hears('failed', mail)
    expect(reach.words()).toEqual([])
    expect(reach.hears('failed', mail).words()).toEqual(['out of reach'])
  })

  test('N1: stays out of reach until something arrives, though a channel that was never tried is added', () => {
    const reach = aReach([phone]).hears('lost', phone).hears('failed', phone, [phone, mail])
    expect(reach.words()).toEqual(['out of reach'])
    expect(reach.hears('delivered', mail, [phone, mail]).words()).toEqual(['out of reach', 'reached'])
  })

  test('N1: the last channel that goes takes the contact out of reach, before or after it is removed', () => {
    expect(aReach([phone]).hears('gone', phone, []).words()).toEqual(['out of reach'])
    expect(aReach([phone]).hears('gone', phone, [phone]).words()).toEqual(['out of reach'])
    expect(aReach([phone, mail]).hears('gone', phone, [mail]).words()).toEqual([])
    expect(aReach([phone, mail]).hears('lost', mail).hears('gone', phone, [mail]).words()).toEqual([
      'out of reach',
    ])
  })

  test('a channel that was removed says nothing of those that are left, and is forgotten', () => {
    const reach = aReach([phone, mail]).hears('lost', mail).hears('lost', phone, [mail])
    expect(reach.words()).toEqual([])
    reach.hears('failed', mail, [mail])
    expect(reach.condition(phone).condition).toBe('unknown')
    expect(aReach([]).hears('lost', phone).hears('delivered', phone).words()).toEqual([])
  })
})

describe('after a restart', () => {
  const tried = (key: string, more: object = {}) =>
    waitingParcel(key, { tries: 1, outcome: `What came of ${key}.`, ...more })

  test('the messages of before say how their channels stand, and nobody is told of it again', () => {
    const state = recalledReach([
      tried('b', { channel: mail, state: 'failed' }),
      tried('c', { channel: mail, state: 'replaced', outcome: 'Something newer was said instead.' }),
      delivered(waitingParcel('a')),
    ])
    expect(conditionOf(state, phone).condition).toBe('working')
    expect(conditionOf(state, mail)).toMatchObject({
      condition: 'failing',
      lastSentence: 'What came of b.',
    })
    // The first failure after the start speaks again, since what was said before is not known.
    const reach = aReach([mail], state).hears('failed', mail)
    expect(reach.words()).toEqual(['out of reach'])
  })

  test('tries of one message that still waits count, each of them', () => {
    expect(conditionOf(recalledReach([tried('a', { tries: 2 })]), phone).condition).toBe('unknown')
    expect(conditionOf(recalledReach([tried('a', { tries: 3 })]), phone).condition).toBe('failing')
    expect(conditionOf(recalledReach([waitingParcel('a')]), phone).lastAt).toBeNull()
  })

  test('N1: the first delivery is said, since an alarm of before may still stand', () => {
    const state = recalledReach([delivered(waitingParcel('a'))])
    expect(aReach([phone], state).hears('delivered', phone).words()).toEqual(['reached'])
  })
})

test('N1: whatever comes of tries, out of reach is said exactly when the last three of every channel failed', () => {
  const anyEvent = fc.record({
    kind: fc.constantFrom('delivered', 'failed', 'failed', 'failed', 'lost'),
    channel: fc.constantFrom(phone, mail),
  })
  fc.assert(
    fc.property(fc.array(anyEvent, { maxLength: 40 }), (events) => {
      const reach = aReach([phone, mail])
      const row = new Map([phone, mail].map((id) => [id, 0]))
      let isOut: boolean | null = null
      for (const { kind, channel } of events) {
        reach.hears(kind, channel)
        const more = kind === 'lost' ? failingAfter : 1
        row.set(channel, kind === 'delivered' ? 0 : (row.get(channel) ?? 0) + more)
        if (kind === 'delivered') isOut = false
        else if ([...row.values()].every((failures) => failures >= failingAfter)) isOut = true
        const last = reach.said.at(-1)
        expect(last === undefined ? null : !last.isReached).toBe(isOut)
      }
      // only changes are said
      for (const [i, { isReached }] of reach.said.entries())
        expect(isReached).not.toBe(reach.said[i - 1]?.isReached)
    }),
  )
})
