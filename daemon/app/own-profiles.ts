import type { Household } from '../../schemas/household.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { profilesIn } from '../../shared/judging/layout.ts'
import { objectionToOwn } from '../../shared/species/own-profile.ts'
import type { EditRefusal } from '../ports/household.ts'
import type { ProfileRefusal, SeasonDesk } from '../ports/season.ts'
import type { SeasonWorld } from './season-world.ts'
import { say } from '../../shared/words/say.ts'

/** As `Household` bounds them (X3). */
const mostProfiles = 50

/** Profiles that the keeper made from others. */
export function openProfiles({
  household,
  catalogue,
  save,
}: Pick<SeasonWorld, 'catalogue' | 'save'> & { readonly household: () => Household }): Pick<
  SeasonDesk,
  'saveProfile' | 'removeProfile'
> {
  function put(profiles: readonly SpeciesProfile[], by: string, text: string) {
    const saved = save({ ...household(), profiles: [...profiles] }, by, text, 'changed', {})
    return saved.ok ? saved : { ...saved, error: refusalOf(saved.error) }
  }

  return {
    saveProfile(profile, by) {
      const { profiles } = household()
      const objection = objectionToOwn(profile, profilesIn(household(), catalogue))
      if (objection !== null) return { ok: false, ...objection }
      const i = profiles.findIndex(({ id }) => id === profile.id)
      if (i < 0 && profiles.length >= mostProfiles)
        return {
          ok: false,
          error: 'tooMany',
          sentence: say('At most {mostProfiles} profiles of your own.', { mostProfiles }),
        }
      const next = i < 0 ? [...profiles, profile] : profiles.with(i, profile)
      const told = {
        common: profile.common,
        from: profile.own?.from ?? '',
        reason: profile.own?.reason ?? '',
      }
      const text =
        i < 0
          ? say('Made the profile {common} from {from}: {reason}', told)
          : say('Saved the profile {common} from {from}: {reason}', told)
      const saved = put(next, by, text)
      return saved.ok ? { ok: true, value: profile } : saved
    },

    removeProfile(id, by) {
      const { profiles, animals } = household()
      const profile = profiles.find((one) => one.id === id)
      if (profile === undefined)
        return catalogue(id) === undefined
          ? { ok: false, error: 'noSuchSpecies', sentence: say('There is no such profile.') }
          : {
              ok: false,
              error: 'catalogued',
              sentence: say('What stands in the catalogue cannot be removed.'),
            }
      const user =
        animals.find(({ species }) => species === id)?.name ??
        profiles.find(({ own }) => own?.from === id)?.common
      if (user !== undefined)
        return {
          ok: false,
          error: 'inUse',
          sentence: say('{user} goes by it; give it another profile first.', { user }),
        }
      const saved = put(
        profiles.filter((one) => one !== profile),
        by,
        say('Removed the profile {common}.', { common: profile.common }),
      )
      return saved.ok ? { ok: true, value: null } : saved
    },
  }
}

/** What a change of profiles can be refused for; places, sensors and contacts stay as they are. */
function refusalOf(error: EditRefusal): ProfileRefusal {
  switch (error) {
    case 'bandsConflict':
    case 'mustNotGoDown':
    case 'noSuchSpecies':
    case 'tooMany':
    case 'notStored':
      return error
    default:
      throw new Error(`A change of profiles was refused for ${error}.`)
  }
}
