import { sources } from '../species/sources.ts'
import { say } from '../words/say.ts'

/** Where the rules of condition, mass and waking stand that no species profile names. */
export const publications = {
  jackson: `${sources.jackson}; anchor points of the British Chelonia Group: ${sources.tortoiseGroup}; cut-offs derived between them`,
  jacksonLimits: `${sources.tortoiseGroup}; ${sources.willemsen}`,
  hailey: sources.hailey,
  box: sources.nagy,
  ellipsoid: 'Loehr and co-workers, volume of an ellipsoid (from memory)',
  visualFive: sources.frankenberger,
  visualNine: sources.lamberski,
  toads: sources.calatayud,
  waking: sources.netvet,
  signsAfter: `Tortoise Trust, articles on frost damage; ${sources.mcArthur}`,
  forbes: sources.forbes,
  btk: sources.btk,
  bladder: 'slowcoach.org.uk, Jackson ratio: 50 ml of urine are 50 g',
  keepers: sources.keepers,
  derived: say('Derived for this program, no published limit'),
} as const
