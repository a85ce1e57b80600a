import type { WakingStep } from '../../schemas/season.ts'
import type { Instant } from '../../schemas/units.ts'
import { dayOf, type Task } from './reminder.ts'
import { linesOf, type Subject } from './subject.ts'
import { say } from '../words/say.ts'

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
  // A sign of danger does not wait for three weeks to be over.
  const sign = waking.find(
    ({ step, standing, isVet }) => step === 'normal' && standing === 'waiting' && isVet,
  )
  const [first] = [...sent].sort((one, other) => one.due - other.due)
  const hasPassed = !open.some(({ step }) => step === 'urates')
  const tasks = open
    .filter((step) => !sent.includes(step))
    // No food before it has passed urates: that is looked for first.
    .filter(({ step, standing }) => step !== 'eat' || hasPassed || standing === 'late')
    .flatMap((step): Task[] => {
      const task = taskOf[step.step]
      if (task === null) return []
      return [
        {
          ...task(animal.name),
          // From its turn on each day's, and the same thing throughout; a drink has its one day
          on: dayOf(step.step === 'drink' ? step.due : askedAt(step, now), timeZone),
          once: dayOf(step.due, timeZone),
          sentence: step.sentence,
          source: step.source,
          evidence: step.evidence,
        },
      ]
    })
  const why = sign ?? first
  if (why === undefined) return tasks
  return [
    {
      kind: 'vet',
      title: say('Take {animal} to a reptile vet', { animal: animal.name }),
      on: first === undefined ? dayOf(now, timeZone) : dayOf(first.due, timeZone),
      ...(first === undefined && { once: 'sign' }),
      sentence: [...(sign === undefined ? [] : [sign]), ...sent].map(({ sentence }) => sentence).join(' '),
      source: why.source,
      evidence: why.evidence,
    },
    ...tasks,
  ]
}

const askedAt = ({ from, due }: WakingStep, now: Instant): Instant =>
  now < from ? from : now < due ? now : due

type Named = (name: string) => Pick<Task, 'kind' | 'title'>

/** Warmth and "all is normal" are watched, not done by hand. */
const taskOf: Record<WakingStep['step'], Named | null> = {
  warm: null,
  drink: (name) => ({ kind: 'drink', title: say('Let {name} drink', { name }) }),
  urates: (name) => ({ kind: 'urates', title: say('Look for urates of {name}', { name }) }),
  eat: (name) => ({ kind: 'firstMeal', title: say('Offer {name} a first small meal', { name }) }),
  normal: null,
}
