import { describe, expect, it } from 'vitest'
import { wakingStepsOf } from '../../shared/animals/waking.ts'
import { type Noted, onDay, subjectOf } from '../support/animal-history.ts'

const woken: Noted = [84, { kind: 'warmingBegan', why: 'its time' }]
const drank: Noted = [84.5, { kind: 'drank' }]
const onDayAfter = (days: number, notes: readonly Noted[] = []) =>
  wakingStepsOf(subjectOf({ now: 84 + days, notes: [woken, ...notes] }))
const step = (steps: ReturnType<typeof onDayAfter>, name: string) => steps.find((one) => one.step === name)

describe('after waking', () => {
  it('without food and urates on day 7 it goes to a vet (Royal Veterinary College; a United Kingdom practice)', () => {
    const steps = onDayAfter(7, [drank])
    expect(step(steps, 'eat')).toMatchObject({ standing: 'late', isVet: true, due: onDay(91) })
    expect(step(steps, 'urates')).toMatchObject({ standing: 'late', isVet: true })
    expect(step(steps, 'urates')?.sentence).toContain('reptile vet')
  })

  it('a moment before day 7 it does not', () => {
    expect(onDayAfter(6.99, [drank]).some(({ isVet }) => isVet)).toBe(false)
  })

  it('it should drink within a day (common practice, no source)', () => {
    expect(step(onDayAfter(0.99), 'drink')).toMatchObject({ standing: 'waiting' })
    expect(step(onDayAfter(1), 'drink')).toMatchObject({ standing: 'late', isVet: false })
    expect(step(onDayAfter(1, [drank]), 'drink')).toMatchObject({ standing: 'done', doneAt: onDay(84.5) })
  })

  it('all should be normal by three weeks, and no urine by six weeks is a very poor outlook (netvet.co.uk)', () => {
    expect(step(onDayAfter(20.9, [drank]), 'normal')?.isVet).toBe(false)
    expect(step(onDayAfter(21, [drank]), 'normal')).toMatchObject({ standing: 'late', isVet: true })
    const six = onDayAfter(42, [drank])
    expect(six).toHaveLength(1)
    expect(six[0]).toMatchObject({ step: 'urates', isVet: true })
    expect(six[0]?.sentence).toContain('outlook is very poor')
  })

  it('head tilt or circling after waking sends to a vet at once (Tortoise Trust, frost damage)', () => {
    const steps = onDayAfter(2, [drank, [85, { kind: 'sign', signs: ['headTilt', 'circling'] }]])
    expect(step(steps, 'normal')).toMatchObject({ isVet: true, standing: 'waiting' })
    expect(step(steps, 'normal')?.sentence).toContain('A tilted head, walking in circles after waking')
  })
})
