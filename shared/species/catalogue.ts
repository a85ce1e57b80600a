import type { SpeciesId } from '../../schemas/ids.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { bufoBufo } from './bufo-bufo.ts'
import { centrochelysSulcata } from './centrochelys-sulcata.ts'
import { correlophusCiliatus } from './correlophus-ciliatus.ts'
import { litoriaCaerulea } from './litoria-caerulea.ts'
import { pythonRegius } from './python-regius.ts'
import { testudoHermanni } from './testudo-hermanni.ts'
import { testudoHorsfieldii } from './testudo-horsfieldii.ts'
import { thamnophisSirtalis } from './thamnophis-sirtalis.ts'

/** Every species that is known, those to hold cold first. */
export const catalogue: readonly SpeciesProfile[] = [
  testudoHermanni,
  testudoHorsfieldii,
  thamnophisSirtalis,
  bufoBufo,
  pythonRegius,
  centrochelysSulcata,
  correlophusCiliatus,
  litoriaCaerulea,
]

export function profileOf(id: SpeciesId): SpeciesProfile | undefined {
  return catalogue.find((profile) => profile.id === id)
}
