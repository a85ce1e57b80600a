import type { SpeciesId } from '../../schemas/ids.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { bufoBufo } from './bufo-bufo.ts'
import { centrochelysSulcata } from './centrochelys-sulcata.ts'
import { chelonoidisCarbonarius } from './chelonoidis-carbonarius.ts'
import { chrysemysPicta } from './chrysemys-picta.ts'
import { correlophusCiliatus } from './correlophus-ciliatus.ts'
import { crotaphytusCollaris } from './crotaphytus-collaris.ts'
import { emysOrbicularis } from './emys-orbicularis.ts'
import { eublepharisMacularius } from './eublepharis-macularius.ts'
import { gopherusAgassizii } from './gopherus-agassizii.ts'
import { heterodonNasicus } from './heterodon-nasicus.ts'
import { lacertaAgilis } from './lacerta-agilis.ts'
import { lampropeltisGetula } from './lampropeltis-getula.ts'
import { litoriaCaerulea } from './litoria-caerulea.ts'
import { pantherophisGuttatus } from './pantherophis-guttatus.ts'
import { podarcisSiculus } from './podarcis-siculus.ts'
import { pogonaVitticeps } from './pogona-vitticeps.ts'
import { pythonRegius } from './python-regius.ts'
import { salamandraSalamandra } from './salamandra-salamandra.ts'
import { stigmochelysPardalis } from './stigmochelys-pardalis.ts'
import { tarentolaMauritanica } from './tarentola-mauritanica.ts'
import { terrapeneCarolina } from './terrapene-carolina.ts'
import { terrapeneOrnata } from './terrapene-ornata.ts'
import { testudoGraeca } from './testudo-graeca.ts'
import { testudoGraecaGraeca } from './testudo-graeca-graeca.ts'
import { testudoHermanni } from './testudo-hermanni.ts'
import { testudoHorsfieldii } from './testudo-horsfieldii.ts'
import { testudoKleinmanni } from './testudo-kleinmanni.ts'
import { testudoMarginata } from './testudo-marginata.ts'
import { thamnophisSirtalis } from './thamnophis-sirtalis.ts'
import { tiliquaScincoides } from './tiliqua-scincoides.ts'
import { timonLepidus } from './timon-lepidus.ts'
import { triturusCristatus } from './triturus-cristatus.ts'
import { uromastyxAcanthinura } from './uromastyx-acanthinura.ts'
import { viperaBerus } from './vipera-berus.ts'

/** Every species that is known, those to hold cold first. */
export const catalogue: readonly SpeciesProfile[] = [
  testudoHermanni,
  testudoGraeca,
  testudoMarginata,
  testudoHorsfieldii,
  gopherusAgassizii,
  terrapeneCarolina,
  terrapeneOrnata,
  chrysemysPicta,
  emysOrbicularis,
  pantherophisGuttatus,
  lampropeltisGetula,
  heterodonNasicus,
  thamnophisSirtalis,
  viperaBerus,
  pogonaVitticeps,
  tiliquaScincoides,
  lacertaAgilis,
  podarcisSiculus,
  timonLepidus,
  crotaphytusCollaris,
  tarentolaMauritanica,
  eublepharisMacularius,
  salamandraSalamandra,
  triturusCristatus,
  bufoBufo,
  testudoGraecaGraeca,
  testudoKleinmanni,
  centrochelysSulcata,
  chelonoidisCarbonarius,
  stigmochelysPardalis,
  pythonRegius,
  correlophusCiliatus,
  uromastyxAcanthinura,
  litoriaCaerulea,
]

export function profileOf(id: SpeciesId): SpeciesProfile | undefined {
  return catalogue.find((profile) => profile.id === id)
}
