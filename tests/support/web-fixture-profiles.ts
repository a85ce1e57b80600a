import { openProfiles } from '../../daemon/app/own-profiles.ts'
import type { Household } from '../../schemas/household.ts'
import { SpeciesId } from '../../schemas/ids.ts'
import { SpeciesProfile } from '../../schemas/species.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { invalid, nothing, ok, problem, type Reply } from './web-fixture-reply.ts'

/** Profiles of the keeper's own, by the daemon's rules. */
export function fixtureProfiles(world: {
  readonly isKeeper: () => boolean
  readonly household: () => Household
  readonly save: (next: Household) => void
}) {
  const desk = openProfiles({
    household: world.household,
    catalogue: profileOf,
    save(next) {
      world.save(next)
      return { ok: true }
    },
  })
  return (method: string, [room, id]: readonly string[], body: Record<string, unknown>): Reply | null => {
    if (room !== 'species' || (method !== 'PUT' && method !== 'DELETE')) return null
    if (!world.isKeeper()) return problem(403, 'keeperOnly', 'Only a keeper may do this.')
    if (method === 'DELETE') {
      const removed = desk.removeProfile(SpeciesId.parse(id), 'Robin')
      return removed.ok ? nothing : problem(409, removed.error, removed.sentence)
    }
    const profile = SpeciesProfile.safeParse(body)
    if (!profile.success) return invalid(profile.error.issues)
    const saved = desk.saveProfile(profile.data, 'Robin')
    return saved.ok ? ok(saved.value) : problem(422, saved.error, saved.sentence)
  }
}
