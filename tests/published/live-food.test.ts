import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { LiveFood } from '../../schemas/culture.ts'
import { foodFigures, timesSlower, warmthOf } from '../../shared/animals/live-food.ts'

describe('S5: how fast live food grows, against what was published', () => {
  test('house crickets grow 3.03 times slower at 18 than at 30 °C (Odhiambo et al.: 200.5 against 66.26 days)', () => {
    expect(timesSlower('houseCricket', 18)).toBeCloseTo(3.03, 2)
    expect(timesSlower('houseCricket', 30)).toBe(1)
  })

  test('mealworms grow 1.83 times slower at 20 than at 27 °C (Heidari Parsa et al. 2023: 203.70 against 111.31 days)', () => {
    expect(timesSlower('mealworm', 20)).toBeCloseTo(1.83, 2)
    expect(timesSlower('mealworm', 27)).toBe(1)
  })

  test('locust hoppers need 70 days at 22 and 22 days at 37 °C (Government of India, locust biology)', () => {
    expect(timesSlower('desertLocust', 22)).toBeCloseTo(70 / 22, 10)
    expect(timesSlower('desertLocust', 37)).toBe(1)
  })

  test.each([
    ['houseCricket', 17.9],
    ['houseCricket', 34.1],
    ['mealworm', 19.9],
    ['mealworm', 28.1],
    ['desertLocust', 21.9],
    ['desertLocust', 37.1],
    ['fruitFly', 17.9],
    ['woodlouse', 20],
  ] as const)('beyond the published points nothing is said of %s at %d °C', (food, celsius) => {
    expect(timesSlower(food, celsius)).toBeNull()
  })

  test('between two points the pace, not the days, is a straight line: 24 °C lies half way between 18 and 30 °C', () => {
    const pace = (1 / 200.5 + 1 / 66.26) / 2
    expect(timesSlower('houseCricket', 24)).toBeCloseTo(1 / 66.26 / pace, 10)
  })

  test('the warmer, the faster, and never faster than at the warmest published point', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...LiveFood.options),
        fc.double({ min: 0, max: 40, noNaN: true }),
        fc.double({ min: 0, max: 40, noNaN: true }),
        (food, one, other) => {
          const [cold, warm] = [
            timesSlower(food, Math.min(one, other)),
            timesSlower(food, Math.max(one, other)),
          ]
          if (cold !== null) expect(cold).toBeGreaterThanOrEqual(1)
          if (cold !== null && warm !== null) expect(cold).toBeGreaterThanOrEqual(warm)
        },
      ),
    )
  })
})

describe('S5: what a temperature does to a culture', () => {
  test.each([
    ['houseCricket', 26, 'good'],
    ['houseCricket', 34, 'good'],
    ['houseCricket', 25.9, 'slow'],
    ['houseCricket', 18, 'slow'],
    ['houseCricket', 17.9, 'stopped'],
    ['houseCricket', 9.9, 'harmful'],
    ['houseCricket', 34.1, 'unknown'],
    ['desertLocust', 32, 'good'],
    ['desertLocust', 15, 'slow'],
    ['desertLocust', 14.9, 'stopped'],
    ['mealworm', 25, 'good'],
    ['mealworm', 28, 'good'],
    ['mealworm', 24.9, 'slow'],
    ['mealworm', 9.9, 'stopped'],
    ['mealworm', 30, 'harmful'],
    ['woodlouse', 18, 'good'],
    ['woodlouse', -4.7, 'harmful'],
    ['fruitFly', 25, 'good'],
    ['fruitFly', 11, 'slow'],
    ['fruitFly', 10.9, 'stopped'],
    ['fruitFly', 29.1, 'harmful'],
  ] as const)('%s at %d °C: %s', (food, celsius, standing) => {
    expect(warmthOf(food, celsius).standing).toBe(standing)
  })

  test.each(LiveFood.options)('%s: every temperature has one answer, with its source', (food) => {
    const { warmth } = foodFigures[food]
    expect(warmth.at(-1)?.to).toBe(Infinity)
    warmth.forEach((stretch, i) => {
      expect(stretch.source).not.toBe('')
      expect(stretch.from).toBe(i === 0 ? -273 : warmth[i - 1]?.to)
      expect(stretch.to).toBeGreaterThan(stretch.from)
    })
  })
})
