import { useSignal } from '@preact/signals'
import type { DiaryNote, HealthAnswer, HealthQuestion, NoteOf } from '../../schemas/diary.ts'
import { answerName, healthAsks, healthQuestions } from '../words/diary-words.ts'
import { Choices } from './choices.tsx'
import { say } from '../../shared/words/say.ts'

type Said = Exclude<HealthAnswer, 'notAsked'>
type Answers = Partial<Record<HealthQuestion, HealthAnswer>>

const options = Object.entries(answerName).map(([value, label]) => ({ value: value as Said, label }))

/** One question a row; what is left open is not asked. */
export function HealthFields({
  before,
  onNote,
}: {
  before: NoteOf<'checked'> | null
  onNote: (note: DiaryNote | null) => void
}) {
  const answers = useSignal<Answers>(before?.answers ?? {})
  const set = (question: HealthQuestion, answer: Said | null): void => {
    const { [question]: _, ...others } = answers.value
    answers.value = answer === null ? others : { ...others, [question]: answer }
    const isEmpty = Object.keys(answers.value).length === 0
    onNote(isEmpty ? null : { kind: 'checked', answers: answers.value })
  }
  return (
    <div class="health">
      <p class="hint">{say('Of each, yes is well. What is left open is not asked.')}</p>
      {healthQuestions.map((question) => {
        const answer = answers.value[question]
        return (
          <Choices<Said>
            key={question}
            legend={healthAsks[question]}
            value={answer === undefined || answer === 'notAsked' ? null : answer}
            options={options}
            onValue={(value) => set(question, value)}
          />
        )
      })}
    </div>
  )
}
