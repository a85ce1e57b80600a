import type { Animal } from '../../schemas/animal.ts'
import { doorOf } from '../../shared/air/one-door.ts'
import type { PlanSurroundings } from '../../shared/animals/plan-place.ts'
import { valuesOf } from '../../shared/judging/place-now.ts'
import { judgeOf } from '../../shared/judging/silence.ts'
import type { WatchState } from '../../shared/judging/watch-state.ts'
import type { Instant } from '../../schemas/units.ts'

/** What of the house stands round a plan of this animal now. */
export function surroundingsOf(state: WatchState, animal: Animal, now: Instant): PlanSurroundings {
  const { household, places } = state.layout
  const place = household.places.find(({ id }) => id === animal.place) ?? null
  const isIn = (p: number): boolean => {
    const home = animal.place === null ? -1 : (state.layout.placeIndex.get(animal.place) ?? -1)
    return home === p || (places[p]?.place.kind !== 'room' && (places[p]?.within.includes(home) ?? false))
  }
  return {
    hemisphere: household.hemisphere,
    place,
    isWatched: place !== null && watchOf(state, animal, now)?.isWatched === true,
    fridge: place === null ? null : doorOf(place.id, household.places),
    shared: places.flatMap((here, p) =>
      isIn(p)
        ? [
            {
              place: here.place,
              others: here.tenants
                .filter((one) => one.animal.id !== animal.id)
                .map((one) => ({ ...one, animal: asDrafted(one.animal) })),
            },
          ]
        : [],
    ),
  }
}

/** The place of an animal, and whether a working sensor judges it with something fresh; null: it has none. */
export function watchOf(
  state: WatchState,
  animal: Animal,
  now: Instant,
): { readonly name: string; readonly isWatched: boolean } | null {
  const p = animal.place === null ? undefined : state.layout.placeIndex.get(animal.place)
  const here = p === undefined ? undefined : state.layout.places[p]
  if (p === undefined || here === undefined) return null
  const judge = judgeOf(state, p)
  const sensors = judge === null ? [] : (state.layout.places[judge]?.sensors ?? [])
  const isWatched = sensors.some((s) =>
    valuesOf(state, s, now).some(({ quantity, fresh }) => quantity === 'temperature' && fresh),
  )
  return { name: here.place.name, isWatched }
}

/** What is drafted, as if it were in force from its first day on. */
function asDrafted(animal: Animal): Animal {
  const [first] = animal.draft
  if (first === undefined) return animal
  return { ...animal, plan: [...animal.plan.filter(({ from }) => from < first.from), ...animal.draft] }
}
