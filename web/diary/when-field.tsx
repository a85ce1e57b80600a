import { useSignal } from '@preact/signals'
import { useId } from 'preact/hooks'
import { instant } from '../../schemas/amounts.ts'
import { localDate, wallInstant } from '../../shared/time/wall.ts'
import { usePage } from '../page/use-page.ts'
import { TextField } from '../parts/field.tsx'
import { say } from '../../shared/words/say.ts'

/** When it was: now, or a day and an hour by the clock of the house. */
export function WhenField({ at, onAt }: { at: number | null; onAt: (at: number | null) => void }) {
  const { now, tell, household } = usePage()
  const id = useId()
  const zone = household.value?.timeZone ?? 'UTC'
  const shown = at ?? now.value
  const date = useSignal(localDate(instant(shown), zone))
  const time = useSignal(tell.clock(shown, zone))
  const isOpen = useSignal(at !== null)
  const set = (): void => {
    const isWhole = /^\d{4}-\d\d-\d\d$/.test(date.value) && /^\d\d:\d\d$/.test(time.value)
    if (isWhole) onAt(wallInstant(date.value, time.value, zone))
  }
  if (!isOpen.value)
    return (
      <p class="when">
        <span id={id}>{say('When: now.')}</span>
        <button
          type="button"
          class="quiet"
          onClick={() => {
            isOpen.value = true
            date.value = localDate(instant(now.peek()), zone)
            time.value = tell.clock(now.peek(), zone)
          }}
        >
          {say('It was earlier')}
        </button>
      </p>
    )
  return (
    <div class="field-pair when">
      <TextField
        label={say('Day')}
        field="at"
        type="date"
        required
        max={localDate(instant(now.value), zone)}
        value={date.value}
        onValue={(value) => {
          date.value = value
          set()
        }}
      />
      <TextField
        label={say('Hour')}
        field="at.time"
        type="time"
        required
        value={time.value}
        onValue={(value) => {
          time.value = value
          set()
        }}
      />
    </div>
  )
}
