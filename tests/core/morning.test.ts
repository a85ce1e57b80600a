import { expect, test } from 'vitest'
import type { Instant } from '../../schemas/units.ts'
import { lastMorning } from '../../shared/telling/morning.ts'

const at = (iso: string): Instant => Date.parse(iso) as Instant
const night = { from: '20:00', to: '08:00' }
const morningBefore = (iso: string, zone = 'Europe/Vienna', hours = night) =>
  new Date(lastMorning(at(iso), zone, hours)).toISOString()

test('A4: the morning begins with the last minute of the quiet hours, not before', () => {
  expect(morningBefore('2026-01-11T06:59:59.999Z')).toBe('2026-01-10T07:00:00.000Z')
  expect(morningBefore('2026-01-11T07:00:00.000Z')).toBe('2026-01-11T07:00:00.000Z')
  expect(morningBefore('2026-01-11T18:59:00Z')).toBe('2026-01-11T07:00:00.000Z')
  expect(morningBefore('2026-01-11T23:00:00Z')).toBe('2026-01-11T07:00:00.000Z')
})

test('A4: on the nights on which clocks change it is still eight by the wall', () => {
  // European Union: last Sundays of March and October (Directive 2000/84/EC)
  expect(morningBefore('2026-03-29T12:00:00Z')).toBe('2026-03-29T06:00:00.000Z')
  expect(morningBefore('2026-10-25T12:00:00Z')).toBe('2026-10-25T07:00:00.000Z')
  // Tasmania: first Sundays of April and October (Daylight Saving Act 2007)
  expect(morningBefore('2026-04-05T03:00:00Z', 'Australia/Hobart')).toBe('2026-04-04T22:00:00.000Z')
  expect(morningBefore('2026-10-04T03:00:00Z', 'Australia/Hobart')).toBe('2026-10-03T21:00:00.000Z')
})

test('A4: quiet hours within one day end on that day', () => {
  const nap = { from: '13:00', to: '15:00' }
  expect(morningBefore('2026-01-11T13:59:00Z', 'Europe/Vienna', nap)).toBe('2026-01-10T14:00:00.000Z')
  expect(morningBefore('2026-01-11T14:00:00Z', 'Europe/Vienna', nap)).toBe('2026-01-11T14:00:00.000Z')
})
