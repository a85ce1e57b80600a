import type { WakingStep } from '../../schemas/season.ts'
import { dayOf, type Task } from './reminder.ts'
import { linesOf, type Subject } from './subject.ts'

/**
 * What is to be done after waking. A step that is late and sends to a vet is asked for as that, until a vet has seen the
 * animal since: never both at once.
 */
export function tasksAwake(subject: Subject, waking: readonly WakingStep[]): readonly Task[] {
  const { animal, history, now, timeZone } = subject
  const vetAt = linesOf(history, 'vet').findLast((line) => line.at <= now)?.at
  const open = waking.filter(({ doneAt, step }) => doneAt === null && taskOf[step] !== null)
  const sent = open.filter(
    (step) => step.standing === 'late' && step.isVet && !(vetAt !== undefined && vetAt >= step.due),
  )
  const [first] = [...sent].sort((one, other) => one.due - other.due)
  const tasks = open
    .filter((step) => !sent.includes(step))
    .flatMap((step): Task[] => {
      const task = taskOf[step.step]
      if (task === null) return []
      return [
        {
          ...task(animal.name),
          on: dayOf(step.due, timeZone),
          sentence: step.sentence,
          source: step.source,
          evidence: step.evidence,
        },
      ]
    })
  if (first === undefined) return tasks
  return [
    {
      kind: 'vet',
      title: `Take ${animal.name} to a reptile vet`,
      on: dayOf(first.due, timeZone),
      sentence: sent.map(({ sentence }) => sentence).join(' '),
      source: first.source,
      evidence: first.evidence,
    },
    ...tasks,
  ]
}

type Named = (name: string) => Pick<Task, 'kind' | 'title'>

/** Warmth and "all is normal" are watched, not done by hand. */
const taskOf: Record<WakingStep['step'], Named | null> = {
  warm: null,
  drink: (name) => ({ kind: 'drink', title: `Let ${name} drink` }),
  urates: (name) => ({ kind: 'urates', title: `Look for urates of ${name}` }),
  eat: (name) => ({ kind: 'firstMeal', title: `Offer ${name} a first small meal` }),
  normal: null,
}
