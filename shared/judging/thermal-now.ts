import type { ThermalNow } from '../../schemas/api.ts'
import { millis } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { contactNow } from '../thermal/door-contact.ts'
import { doorNow } from '../thermal/door.ts'
import { isSettled } from '../thermal/lag.ts'
import type { ThermalWatch } from './thermal-state.ts'
import type { WatchState } from './watch-state.ts'

/** What the curves of place `p` say at `at`, each from the first sensor there that says it; null where none is read. */
export function thermalNow(state: WatchState, p: number, at: Instant): ThermalNow | null {
  const watches = (state.layout.places[p]?.sensors ?? []).flatMap((s) => {
    const { temperature, door } = state.sensors[s]?.series ?? {}
    return [temperature, door].flatMap((one) =>
      one?.thermal === undefined ? [] : [{ thermal: one.thermal, isFollower: isFollower(state, s) }],
    )
  })
  if (watches.length === 0) return null
  const thermals = watches.map(({ thermal }) => thermal)
  const cycle = thermals.find((one) => one.cycle !== null)?.cycle ?? null
  const animal =
    watches.find(({ thermal, isFollower: is }) => is && thermal.early !== null)?.thermal.early ?? null
  const ahead = thermals.find((one) => one.early?.ahead)?.early?.ahead ?? null
  const door = doorOf(thermals, at)
  return {
    ...(cycle === null ? {} : { cycle: cycleOf(cycle.learning) }),
    ...(door === null ? {} : { door }),
    ...(animal === null
      ? {}
      : { animal: { celsius: animal.state.lag.celsius, isSettled: isSettled(animal.state.lag) } }),
    ...(ahead === null ? {} : { outlook: ahead }),
  }
}

const isFollower = (state: WatchState, s: number): boolean =>
  state.layout.roles[s]?.follows?.by === 'animalLag'

function cycleOf({ usual, count }: NonNullable<ThermalWatch['cycle']>['learning']): ThermalNow['cycle'] {
  return {
    isLearnt: usual !== null,
    seen: count,
    period: usual && millis(Math.round(usual.period.middle)),
    duty: usual && usual.duty.middle,
    amplitude: usual && usual.amplitude.middle,
    mean: usual && usual.mean.middle,
  }
}

/** A contact that has spoken is the better witness. */
function doorOf(thermals: readonly ThermalWatch[], at: Instant): NonNullable<ThermalNow['door']> | null {
  const lastOpenedAt = thermals.reduce<Instant | null>(
    (last, { opened }) => (opened !== null && (last === null || opened.from > last) ? opened.from : last),
    null,
  )
  for (const { contact } of thermals) {
    if (contact === null) continue
    const now = contactNow(contact, at)
    if (now.name === 'open' || now.name === 'ajar')
      return { standing: now.name, since: now.from, lastOpenedAt: now.from }
    if (now.name === 'closed') return { standing: 'shut', since: contact.since, lastOpenedAt }
  }
  const door = thermals.find((one) => one.door !== null)?.door ?? null
  if (door === null) return null
  const now = doorNow(door, at)
  if (now.name === 'quiet') return { standing: 'shut', since: null, lastOpenedAt }
  const isFalling = door.phase.name === 'raised' && door.phase.fell !== null
  const standing = now.name === 'ajar' ? 'ajar' : isFalling ? 'recovering' : 'open'
  return { standing, since: now.from, lastOpenedAt: now.from }
}
