import { useSignal } from '@preact/signals'
import type { Telling } from '../../schemas/contact.ts'
import type { TellingNow } from '../../schemas/telling-now.ts'
import { usePage } from '../page/use-page.ts'
import { TextField } from '../parts/field.tsx'
import { useAct } from '../parts/use-act.ts'
import { ThingForm } from '../set-up/thing-form.tsx'
import { waitsWords } from '../words/telling-words.ts'
import { saveTelling } from './save-contact.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

const minuteMs = 60_000

/** How long each step of telling waits. */
export function WaitsForm({ now }: { now: TellingNow }) {
  const page = usePage()
  const act = useAct()
  const typed = useSignal(inMinutes(now.telling))
  const isListed = useSignal(now.telling.morningList)
  const isSaved = useSignal(false)
  const problem = act.problem.value
  const field = (name: keyof Typed, label: string, min: number, max: number) => (
    <TextField
      label={label}
      field={`telling.${name}`}
      type="number"
      min={String(min)}
      max={String(max)}
      step="1"
      required
      problem={problem}
      value={typed.value[name]}
      onValue={(value) => {
        typed.value = { ...typed.value, [name]: value }
        isSaved.value = false
      }}
    />
  )
  return (
    <section class="part" aria-labelledby="part-waits">
      <h2 id="part-waits">{say('Waits')}</h2>
      <ThingForm
        label={say('Waits')}
        act={act}
        fields={['telling']}
        onSave={() =>
          void act.run(
            () =>
              saveTelling(
                page,
                now.contacts.map(({ contact }) => contact.id),
                { ...inMs(typed.value), morningList: isListed.value },
              ),
            () => (isSaved.value = true),
          )
        }
      >
        <p>{waitsWords({ ...inMs(typed.value), morningList: isListed.value })}</p>
        {field('repeatEvery', say('High rings again after, minutes'), 1, 60)}
        {field('escalateAfter', say('The next contact is told after, minutes'), 1, 60)}
        {field('againAfter', say('Medium is told once more after, minutes'), 10, 1440)}
        <label class="check">
          {sayWith('{input}In the morning, tell the first contact what is to be done today', {
            input: (
              <input
                type="checkbox"
                checked={isListed.value}
                onChange={(event) => {
                  isListed.value = event.currentTarget.checked
                  isSaved.value = false
                }}
              />
            ),
          })}
        </label>
        <p class="hint" role="status">
          {isSaved.value && say('Saved.')}
        </p>
      </ThingForm>
    </section>
  )
}

type Waits = Omit<Telling, 'morningList'>

type Typed = Readonly<Record<keyof Waits, string>>

const inMinutes = ({ repeatEvery, escalateAfter, againAfter }: Waits): Typed => ({
  repeatEvery: String(repeatEvery / minuteMs),
  escalateAfter: String(escalateAfter / minuteMs),
  againAfter: String(againAfter / minuteMs),
})

const inMs = ({ repeatEvery, escalateAfter, againAfter }: Typed): Waits => ({
  repeatEvery: Math.round(Number(repeatEvery) * minuteMs),
  escalateAfter: Math.round(Number(escalateAfter) * minuteMs),
  againAfter: Math.round(Number(againAfter) * minuteMs),
})
