import { expect, test } from 'vitest'
import { inOwnUnit } from '../../daemon/mqtt/decode/wire-unit.ts'
import { valueWords } from '../../shared/telling/words.ts'

// t/°C = (t/°F − 32)/1.8: NIST SP 811, table B.8. The figures in °F are limits that the sources of the profiles give:
// Tortoise Group 35 and 50 °F; Boyer 65, 70 and 75 °F.
test.each([
  [35, 1.67],
  [38, 3.33],
  [50, 10],
  [65, 18.33],
  [70, 21.11],
  [75, 23.89],
])('NIST SP 811: %d °F from a sensor is %d °C, and is written back as it came', (fahrenheit, celsius) => {
  const value = inOwnUnit(fahrenheit, 'temperature', 'fahrenheit') ?? Number.NaN
  expect(value).toBeCloseTo(celsius, 2)
  expect(valueWords('temperature', value, 'fahrenheit')).toBe(`${fahrenheit.toFixed(1)} °F`)
})
