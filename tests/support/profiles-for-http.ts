import { openProfiles } from '../../daemon/app/own-profiles.ts'
import type { SeasonDesk } from '../../daemon/ports/season.ts'
import type { Household } from '../../schemas/household.ts'
import { profileOf } from '../../shared/species/catalogue.ts'

/** Profiles of a desk in memory: its rules are the real ones. */
export function profilesForHttp({
  household,
  save,
  done,
}: {
  readonly household: () => Household
  readonly save: (next: Household) => void
  readonly done: (kind: 'changed', by: string, text: string) => void
}): Pick<SeasonDesk, 'saveProfile' | 'removeProfile'> {
  return openProfiles({
    household,
    catalogue: profileOf,
    save(next, by, text) {
      save(next)
      done('changed', by, text)
      return { ok: true }
    },
  })
}
