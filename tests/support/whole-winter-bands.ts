import type { Animal } from '../../schemas/animal.ts'
import type { Tonight } from '../../schemas/api.ts'
import type { Household } from '../../schemas/household.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { householdOf, type Scene } from './whole-winter-keeper.ts'

/** The judge draws a moving band anew each five minutes; in that time none moves by so much. */
const give = 0.01

const limits = ['lowCritical', 'low', 'high', 'highCritical'] as const
type Edge = (typeof limits)[number]

/** It does not change while the story lasts. */
let catalogue: readonly SpeciesProfile[] | null = null

/**
 * Holds the band of each place against what the animals' plans give (L8), worked out here a second time: the tightest of
 * the animals in it and inside it, each on a straight line while it is cooled or warmed.
 */
export async function bandFaults(
  scene: Scene,
): Promise<{ readonly seen: number; readonly faults: readonly string[] }> {
  const { house } = scene
  const tonight = await house.must<Tonight>('keeper', 'GET', '/api/tonight')
  catalogue ??= await house.must<readonly SpeciesProfile[]>('keeper', 'GET', '/api/species')
  const species = catalogue
  const household = await householdOf(scene)
  const faults: string[] = []
  let seen = 0
  for (const { id, name, bands } of tonight.places) {
    const here = household.animals.filter(({ place }) => isIn(household, place, id))
    for (const edge of limits) {
      const values = here.flatMap((animal) => edgeOf(animal, species, edge, tonight.at))
      const isLow = edge === 'lowCritical' || edge === 'low'
      const expected = values.length === 0 ? null : isLow ? Math.max(...values) : Math.min(...values)
      const found = bands.temperature?.[edge]?.value ?? null
      seen += found === null ? 0 : 1
      if ((expected === null) !== (found === null) || Math.abs((expected ?? 0) - (found ?? 0)) > give)
        faults.push(`${new Date(tonight.at).toISOString()} ${name} ${edge}: ${found} instead of ${expected}`)
    }
  }
  return { seen, faults }
}

/** In it, or in something that stands in it; a room is not what its boxes are. */
function isIn({ places }: Household, place: string | null, target: string): boolean {
  for (let here = place; here !== null; ) {
    if (here === target) return true
    here = places.find(({ id, kind }) => id === here && kind !== 'room')?.parent ?? null
    if (places.find(({ id }) => id === here)?.kind === 'room') return false
  }
  return false
}

function edgeOf(
  { plan, species }: Animal,
  profiles: readonly SpeciesProfile[],
  edge: Edge,
  at: number,
): number[] {
  const profile = profiles.find(({ id }) => id === species)
  const of = (band: SpeciesProfile['hold']) => band?.temperature.find(({ limit }) => limit === edge)?.value
  const [awake, hold] = [of(profile?.active), of(profile?.hold)]
  const i = plan.findLastIndex(({ from }) => from <= at)
  const [step, next] = [plan[i], plan[i + 1]]
  const moving = (from: number | undefined, to: number | undefined): number[] =>
    from === undefined || to === undefined || step === undefined || next === undefined
      ? []
      : [from + ((to - from) * (at - step.from)) / (next.from - step.from)]
  const still = (value: number | undefined): number[] => (value === undefined ? [] : [value])
  switch (step?.phase) {
    case 'hold':
      return still(hold)
    case 'coolDown':
      return moving(awake, hold)
    case 'warmUp':
      return moving(hold, awake)
    default:
      return still(awake)
  }
}
