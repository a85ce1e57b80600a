import { describe, expect, test } from 'vitest'
import { days, hours, later, minutes } from '../../schemas/amounts.ts'
import { createTell } from '../../web/words/tell.ts'
import { heldSentences, litresWords, trialFacts } from '../../web/words/trial-words.ts'
import { cellarFridge, curveStart, practiceCurve, shownBy } from '../support/practice-curve.ts'
import { adviceOf, reportOf, steady } from '../support/trial-story.ts'

const tell = createTell('en-GB')
const says = (report: Parameters<typeof trialFacts>[0], name: string) =>
  trialFacts(report, tell).find((fact) => fact.name === name)?.says
const one = { id: 'air', points: steady(5, days(7)) }
const week = { lasts: days(7) }

describe('a trial run in words', () => {
  test('without a compressor, a door or a plug pulled, that is what is said', () => {
    const report = reportOf([one], week)
    expect(says(report, 'Runs')).toEqual(['No compressor was seen: no runs, or fewer than eight.'])
    expect(says(report, 'Doors')).toEqual(['No opening was seen.'])
    expect(says(report, 'Power failure')).toEqual(['Not tried: pull the plug for 4 h.'])
    expect(says(report, 'Between the spots')).toBeUndefined()
    expect(says(report, 'Around it')).toBeUndefined()
    expect(adviceOf(report, 'cooling')).toEqual([
      expect.stringMatching(/^No compressor was seen to start and stop\./),
    ])
  })

  test('two in one spot: how far they differ, and what both may be off', () => {
    const other = { id: 'other', points: steady(5.9, days(7)) }
    expect(says(reportOf([one, other], week), 'Sensors in one spot')).toEqual([
      'air and other differ by 0.9\u202f°C; ±0.8\u202f°C is what both may be off: they do not agree.',
    ])
  })

  test('the cold of a plug pulled: seen where it was met, else from when to when, else never', () => {
    const held = {
      limit: 'high',
      value: 7,
      seen: null,
      after: hours(6),
      least: hours(5),
      most: hours(8),
      isNever: false,
    } as const
    expect(heldSentences([held], tell)).toEqual([
      'Without power it would be at 7.0\u202f°C after about 6 h (5 h to 8 h).',
    ])
    expect(heldSentences([{ ...held, seen: hours(4) }], tell)).toEqual([
      'Without power it was at 7.0\u202f°C after 4 h.',
    ])
    expect(heldSentences([{ ...held, after: null, least: null, most: null, isNever: true }], tell)).toEqual([
      'Without power it does not reach 7.0\u202f°C in that room.',
    ])
    expect(heldSentences([{ ...held, after: null, least: null, most: null }], tell)).toEqual([])
  })

  test('water is said, or that there was none', () => {
    expect(litresWords(0, tell)).toBe('No bottles of water were inside.')
    expect(litresWords(6.5, tell)).toBe('6.5 L of water in bottles were inside.')
  })
})

describe('what to change, only as far as the figures show it', () => {
  const air = (fridge: object, room: object = {}) => {
    const truth = practiceCurve(cellarFridge(fridge, room), days(3), 4)
    return {
      id: 'air',
      points: shownBy(truth, { place: 1, every: minutes(1), noise: 0.05, step: 0.0625 }, 4),
    }
  }
  const run = { lasts: days(3) }

  test('a wide swing asks for water, and for more where there is some; a calm one does not', () => {
    const wide = air({ hysteresis: 5 })
    expect(adviceOf(reportOf([wide], run), 'water')).toEqual([
      expect.stringMatching(/^The air swings by \d\.\d\u202f°C in each run\. Put some closed bottles/),
    ])
    expect(adviceOf(reportOf([wide], { ...run, trial: { litres: 4 } }), 'water')).toEqual([
      expect.stringMatching(/even with 4 L of water\. Put more closed bottles/),
    ])
    expect(adviceOf(reportOf([air({ hysteresis: 1 })], run), 'water')).toEqual([])
  })

  test('a compressor that hardly rests asks for a cooler room or a better seal', () => {
    const busy = reportOf([air({ cooling: 22 }, { mean: 24 })], run)
    expect(busy.sensors[0]?.cycle?.duty).toBeGreaterThan(0.75)
    expect(adviceOf(busy, 'cooling')).toEqual([expect.stringMatching(/^It cools for 79 % of the time/)])
    expect(adviceOf(reportOf([air({})], run), 'cooling')).toEqual([])
  })

  test('warmer by more than the warmest spot bears is no advice: first the spots', () => {
    const spots = (warm: number) => [
      { id: 'back', points: steady(1.2, days(7)) },
      { id: 'top', points: steady(warm, days(7)), place: 'box' },
    ]
    // Each may be off by 0.58 K: the coldest lacks 0.38 and 0.2 to set it by; the warmest has 10 − 0.58 − warm.
    expect(adviceOf(reportOf(spots(8.7), week), 'thermostat')).toEqual([
      expect.stringMatching(/^Turn the thermostat warmer by about 0\.[67]\u202f°C/),
    ])
    expect(adviceOf(reportOf(spots(9), week), 'thermostat')).toEqual([])
    expect(adviceOf(reportOf(spots(9), week), 'spread')[0]).toMatch(/^No setting suits every spot/)
  })

  test('a day warmer than its night by more than a kelvin follows the room', () => {
    const nights = (by: number) =>
      [by].flatMap((amount) => {
        const points = steady(5, days(7)).map((p, i) =>
          Math.floor(i / 720) % 2 === 0 ? p : { ...p, celsius: 5 + amount },
        )
        return adviceOf(
          reportOf([{ id: 'air', points }], {
            ...week,
            nights: Array.from({ length: 7 }, (_, d) => ({
              from: later(curveStart, d * days(1)),
              to: later(curveStart, d * days(1) + hours(12)),
            })),
          }),
          'room',
        )
      })
    expect(nights(1.2)).toEqual([expect.stringMatching(/^By day it is warmer than by night by 1\.2\u202f°C/)])
    expect(nights(0.9)).toEqual([])
  })

  test('a sensor never checked takes of the margin: ice is advised, not once it was checked', () => {
    const near = { id: 'air', points: steady(2.1, days(7)) }
    expect(adviceOf(reportOf([near], week), 'sensors')).toEqual([
      expect.stringMatching(
        /^air was never checked and may be off by ±0\.6\u202f°C\. Check it in melting ice/,
      ),
    ])
    const calibrations = [
      {
        from: curveStart,
        quantity: 'temperature',
        offset: 0,
        uncertainty: 0.05,
        references: [{ raw: 0, true: 0, uncertainty: 0.05 }],
        method: 'icePoint',
        by: 'Ada',
      },
    ]
    expect(adviceOf(reportOf([{ ...near, about: { calibrations } }], week), 'sensors')).toEqual([])
    expect(adviceOf(reportOf([{ id: 'air', points: steady(5, days(7)) }], week), 'sensors')).toEqual([])
  })
})
