import type { Animal, PlanStep } from '../../schemas/animal.ts'
import type { Phase } from '../../schemas/species.ts'
import { instant } from '../../schemas/units.ts'

/** The phase in force at an instant: the last step begun; awake before the first. */
export function phaseAt(plan: Animal['plan'], at: number): Phase {
  return stepAt(plan, at)?.phase ?? 'awake'
}

/** The step in force at an instant. */
export function stepAt(plan: Animal['plan'], at: number): PlanStep | undefined {
  return [...plan].reverse().find((step) => step.from <= at)
}

/** A plan in which `phase` holds from `from`: earlier steps stay, this one replaces every later step. */
export function planWith(plan: Animal['plan'], phase: Phase, from: number): PlanStep[] {
  return [...plan.filter((step) => step.from < from), { phase, from: instant(from) }]
}

/** The calendar day of an instant in a zone, `2026-12-24`. */
export function dayOf(at: number, zone: string): string {
  return new Intl.DateTimeFormat('en-CA', { timeZone: zone, year: 'numeric', month: '2-digit', day: '2-digit' }).format(at)
}

/** Noon of a calendar day in a zone: every day has one, on whichever side of a clock change. */
export function noonOf(day: string, zone: string): number {
  const guess = Date.parse(`${day}T12:00:00Z`)
  const wall = new Intl.DateTimeFormat('en-CA', {
    timeZone: zone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  }).format(guess)
  const shown = Date.parse(`${wall.replace(', ', 'T')}:00Z`)
  return guess - (shown - guess)
}
