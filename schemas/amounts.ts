import type { Celsius, Instant, Millis } from './units.ts'

// Plain functions, apart from the schemas so that a page that uses them carries no validator.

export const instant = (ms: number): Instant => ms as Instant
export const millis = (ms: number): Millis => ms as Millis
export const celsius = (value: number): Celsius => value as Celsius
export const seconds = (n: number): Millis => millis(n * 1000)
export const minutes = (n: number): Millis => millis(n * 60_000)
export const hours = (n: number): Millis => millis(n * 3_600_000)
export const days = (n: number): Millis => millis(n * 86_400_000)

/** `at` moved by `ms` (negative goes back). */
export const later = (at: Instant, ms: number): Instant => (at + ms) as Instant
