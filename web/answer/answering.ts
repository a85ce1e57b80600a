import { batch, signal, type ReadonlySignal } from '@preact/signals'
import type { Problem } from '../../schemas/api.ts'
import type { AnswerNow } from '../../schemas/telling-now.ts'
import { isSilence, type Answer, type Ask } from '../page/ask.ts'
import { say } from '../../shared/words/say.ts'

/** While the page is looked at, its state is asked for anew after this, in ms: somebody else may have answered. */
const lookEveryMs = 15_000
/** After a question without an answer, in ms: a phone that has just woken up has no network for some seconds. */
const tryEveryMs = 5000
/** For so long a press is tried again by itself, in ms. Later nobody stands by it any more, and a finger is asked for. */
const tryForMs = 120_000

/** acknowledge: "I have seen it and will see to it" · rang: "yes, it rang". Pressed twice, neither does any harm. */
type Press = 'acknowledge' | 'rang'

export interface Answering {
  /** What the link is about; null before the first answer. */
  readonly seen: ReadonlySignal<AnswerNow | null>
  /** The link itself opens nothing, or nothing any more. */
  readonly refusal: ReadonlySignal<Problem | null>
  /** Why the last look or press came to nothing. `isPress`: somebody believes to have answered, and has not. */
  readonly trouble: ReadonlySignal<{ readonly problem: Problem; readonly isPress: boolean } | null>
  /** What was pressed here and has got through. */
  readonly done: ReadonlySignal<Press | null>
  /** A press is on its way. */
  readonly isPressed: ReadonlySignal<boolean>
  /** The daemon's time, for durations. */
  readonly now: ReadonlySignal<number>
  press(): Promise<void>
  /** Looks again by hand. */
  again(): Promise<void>
  tend(minutes: number): Promise<Answer<AnswerNow>>
  shelve(minutes: number, reason: string): Promise<Answer<AnswerNow>>
  /** Once a second, and when the page comes into view: looks, tries again, and begins. */
  tick(isInView: boolean): void
}

/**
 * One answer link. With `atOnce` it presses by itself as soon as it is in somebody's view: a tab that was opened in the
 * background or fetched ahead has been seen by nobody.
 */
export function createAnswering(world: {
  readonly ask: Ask
  readonly key: string
  readonly atOnce: boolean
  /** In ms; only differences count. */
  readonly now: () => number
  readonly daemonNow: () => number
  /** A press got through: whoever loads the page again must not press again by it. */
  readonly onPressed: () => void
}): Answering {
  const seen = signal<AnswerNow | null>(null)
  const refusal = signal<Problem | null>(world.key === '' ? keyMissing : null)
  const trouble = signal<{ problem: Problem; isPress: boolean } | null>(null)
  const done = signal<Press | null>(null)
  const wantedAt = signal<number | null>(null)
  const isPressed = signal(false)
  const now = signal(world.daemonNow())
  let hasBegun = false
  let isBusy = false
  let triedAt = -Infinity
  /** Questions are numbered: an answer that comes after a later one's is old news. */
  let asked = 0
  let shown = 0

  const want = (at: number | null): void => {
    wantedAt.value = at
    isPressed.value = at !== null
  }

  const ask = async (act: string, given: object): Promise<Answer<AnswerNow>> => {
    asked += 1
    const mine = asked
    const answer = await world.ask<AnswerNow>('POST', `/api/answer${act}`, { token: world.key, ...given })
    batch(() => {
      now.value = world.daemonNow()
      if (answer.ok) {
        if (mine < shown) return
        shown = mine
        seen.value = answer.value
      } else if (isRefusal(answer.problem)) {
        refusal.value = answer.problem
        trouble.value = null
        want(null)
      }
    })
    return answer
  }

  const look = async (): Promise<void> => {
    const answer = await ask('', {})
    if (answer.ok) {
      if (trouble.value?.isPress !== true || pressFor(answer.value) === null) trouble.value = null
    } else if (refusal.value === null) {
      trouble.value = { problem: answer.problem, isPress: wantedAt.value !== null }
    }
  }

  const pressNow = async (about: AnswerNow): Promise<void> => {
    const press = pressFor(about)
    if (press === null) return want(null)
    const answer = await ask(`/${press}`, {})
    if (answer.ok) {
      batch(() => {
        done.value = press
        trouble.value = null
        want(null)
      })
      world.onPressed()
    } else if (refusal.value === null) {
      trouble.value = { problem: answer.problem, isPress: true }
      if (mayPass(answer.problem)) return
      want(null)
      await look() // it says why
    }
  }

  const run = async (): Promise<void> => {
    if (isBusy) return // whoever is at it sees to what is wanted
    isBusy = true
    triedAt = world.now()
    if (seen.value === null || wantedAt.value === null) await look()
    if (wantedAt.value !== null && seen.value !== null) await pressNow(seen.value)
    isBusy = false
  }

  const act = async (what: string, given: object): Promise<Answer<AnswerNow>> => {
    const answer = await ask(what, given)
    if (answer.ok) trouble.value = null
    return answer
  }

  return {
    seen,
    refusal,
    trouble,
    done,
    isPressed,
    now,
    press() {
      want(world.now())
      return run()
    },
    again: run,
    tend: (minutes) => act('/tend', { minutes }),
    shelve: (minutes, reason) => act('/shelve', { minutes, reason }),
    tick(isInView) {
      now.value = world.daemonNow()
      if (!isInView || refusal.value !== null || done.value === 'rang') return
      if (!hasBegun && world.atOnce) want(world.now())
      hasBegun = true
      if (wantedAt.value !== null && world.now() - wantedAt.value > tryForMs) want(null)
      const isLost = trouble.value !== null && mayPass(trouble.value.problem)
      const isSoon = seen.value === null || wantedAt.value !== null || isLost
      if (world.now() - triedAt >= (isSoon ? tryEveryMs : lookEveryMs)) void run()
    },
  }
}

/** What is left to press; null where somebody has answered already, or it is over. */
function pressFor(about: AnswerNow): Press | null {
  if (about.purpose === 'ring') return 'rang'
  return about.canAcknowledge ? 'acknowledge' : null
}

const isRefusal = ({ code }: Problem): boolean => code === 'badLink' || code === 'oldLink'

/** Whether the same press may well get through a little later. */
const mayPass = (problem: Problem): boolean =>
  isSilence(problem) || problem.status === 429 || problem.status >= 500

const keyMissing: Problem = {
  type: 'about:blank',
  title: say('Part of this link is missing.'),
  status: 403,
  code: 'badLink',
}
