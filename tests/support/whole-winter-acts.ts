import type { PlanWish } from '../../schemas/animal.ts'
import type { AnimalId } from '../../schemas/ids.ts'
import type { PlanProposal, Reminder } from '../../schemas/season.ts'
import { dateOf, type Winter } from './whole-winter-cast.ts'
import { memberOf, type Scene, standingOf } from './whole-winter-keeper.ts'

/** What a day on the way is called in the log. */
export const markWord: Readonly<Record<PlanProposal['marks'][number]['kind'], string>> = {
  faecesTest: 'faeces test',
  healthCheck: 'health check',
  lastMeal: 'last meal',
  coolStep: 'a step colder',
  firstBath: 'first bath',
  firstMeal: 'first meal',
}

/** What the keeper wants of each. */
export const wishes = (winter: Winter): readonly (readonly [string, PlanWish])[] => {
  const on = dateOf(winter, 0)
  return [
    ['bramble', { by: 'wake', on: dateOf(winter, 70), weeks: 10 }],
    ['clover', { by: 'hold', on, weeks: 10 }],
    ['thimble', { by: 'hold', on, weeks: 4 }],
    ['sorrel', { by: 'hold', on, weeks: 8 }],
    ['ribbon', { by: 'hold', on, weeks: 14 }],
    ['marl', { by: 'hold', on }],
    ['loam', { by: 'hold', on }],
    ['maize', { by: 'hold', on, weeks: 8 }],
    ['saffron', { by: 'hold', on, weeks: 8 }],
    ['amber', { by: 'hold', on }],
  ]
}

/** Whoever is there sees to what rings. */
export async function answersAlarms(scene: Scene): Promise<void> {
  type Standing = { id: string; occurrence: number; state: { name: string } }
  const { standing } = await scene.house.must<{ standing: readonly Standing[] }>(
    scene.who,
    'GET',
    '/api/alarms',
  )
  for (const { id, occurrence, state } of standing)
    if (state.name === 'unacknowledged' || state.name === 'returnedUnacknowledged')
      await scene.house.must(scene.who, 'POST', `/api/alarms/${id}/acknowledge`, { occurrence })
}

/** Of animals that were woken: what their own page says can be done now. */
export async function readySteps(scene: Scene): Promise<readonly Reminder[]> {
  const ready: Reminder[] = []
  for (const animal of scene.woken) {
    const { waking } = await standingOf(scene, animal)
    if (waking.length === 0) scene.woken.delete(animal)
    for (const { step, standing, sentence } of waking) {
      const kind = step === 'eat' ? 'firstMeal' : step === 'warm' || step === 'normal' ? null : step
      if (standing !== 'waiting' || kind === null) continue
      if (animal === 'bramble' && kind === 'urates' && scene.day < 81) continue
      scene.log.once('due', `On the page of ${memberOf(scene, animal).animal.name}: ${step}`, sentence)
      ready.push({
        id: step,
        kind,
        animal: animal as AnimalId,
        title: step,
        on: dateOf(scene.winter, scene.day),
        standing: 'due',
        sentence,
        source: null,
        evidence: null,
      })
    }
  }
  return ready
}
