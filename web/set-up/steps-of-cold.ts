import type { PlanStep } from '../../schemas/animal.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import type { Instant } from '../../schemas/units.ts'
import { addDays, localDate, wallInstant } from '../../shared/time/wall.ts'

/** Whether an animal lies in the cold when Brumal comes, from which day on, and on which it is to be woken. */
export interface Cold {
  readonly isInHold: boolean
  readonly since: string
  /** Empty: as long as is usual for its species. */
  readonly wakeOn: string
}

export const coldAlreadyNow = (now: Instant, zone: string): Cold => ({
  isInHold: false,
  since: localDate(now, zone),
  wakeOn: '',
})

/** Its plan; null where it is awake. Phases begin at noon, because every day has exactly one. */
export function stepsOfCold(
  cold: Cold,
  profile: SpeciesProfile | undefined,
  hasWintered: boolean,
  zone: string,
): PlanStep[] | null {
  if (!cold.isInHold || profile === undefined) return null
  const wakeOn = wakeOf(cold, profile, hasWintered)
  const warmUpDays = Math.max(1, Math.ceil(profile.season?.warmUpDays.value ?? 1))
  return [
    { phase: 'hold', from: wallInstant(cold.since, '12:00', zone) },
    { phase: 'warmUp', from: wallInstant(wakeOn, '12:00', zone) },
    { phase: 'awake', from: wallInstant(addDays(wakeOn, warmUpDays), '12:00', zone) },
  ]
}

/** Local date on which it is to be woken; without one, after the weeks that are usual, in a first hold the fewer. */
export function wakeOf({ since, wakeOn }: Cold, profile: SpeciesProfile, hasWintered: boolean): string {
  if (wakeOn !== '' || since === '') return wakeOn
  const { season } = profile
  const usual = season?.usualWeeks.value ?? 6
  const first = season?.youngMostWeeks?.value ?? usual
  return addDays(since, Math.floor((hasWintered ? usual : Math.min(usual, first)) * 7))
}
