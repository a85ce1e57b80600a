import type { Desk } from '../../daemon/ports/desk.ts'
import type { Household } from '../../schemas/household.ts'
import type { Instant } from '../../schemas/units.ts'
import { catalogue } from '../../shared/species/catalogue.ts'
import { actOnTrial } from '../../shared/thermal/trial-acts.ts'
import { trialReport } from '../../shared/thermal/trial-report.ts'
import { stretchOf } from '../../shared/thermal/trial-times.ts'

/** Trial runs of a desk in memory: its acts are the real ones, its sensors have said nothing. */
export function trialsForHttp(world: {
  readonly household: () => Household
  readonly save: (next: Household) => void
  readonly now: () => Instant
  readonly done: (kind: 'changed', by: string, text: string) => void
}): Pick<Desk, 'trial' | 'actOnTrial'> {
  const { household, save, now, done } = world
  const noSuchPlace = { ok: false, error: 'noSuchPlace', sentence: 'No such place.' } as const
  return {
    async trial(id, wanted) {
      await Promise.resolve()
      const place = household().places.find((one) => one.id === id)
      if (place === undefined) return noSuchPlace
      if (wanted?.some((one) => !catalogue.some((profile) => profile.id === one)) === true)
        return { ok: false, error: 'noSuchSpecies', sentence: 'No such species.' }
      const { trial = null, name, kind } = place
      if (trial === null) return { ok: true, value: { place: id, name, trial, report: null } }
      const species = catalogue.filter((profile) => wanted?.includes(profile.id) ?? true)
      const asked = { trial, run: stretchOf(trial, now()), kind, isGuarded: true, sensors: [], room: null }
      const report = trialReport({ ...asked, species, guidance: household().guidance })
      return { ok: true, value: { place: id, name, trial, report } }
    },
    actOnTrial(id, act, by) {
      const { places, sensors } = household()
      const place = places.find((one) => one.id === id)
      if (place === undefined) return noSuchPlace
      const hasSensor = sensors.some((sensor) => sensor.place === id)
      const { trial, name } = place
      const moved = actOnTrial({ name, trial, animalsDown: [], hasSensor }, act, now(), by)
      if (!moved.ok) return moved
      const { trial: _, ...rest } = place
      const next = moved.value === null ? rest : { ...rest, trial: moved.value }
      save({ ...household(), places: places.map((one) => (one.id === id ? next : one)) })
      done('changed', by, moved.says)
      return { ok: true, value: { trial: moved.value } }
    },
  }
}
