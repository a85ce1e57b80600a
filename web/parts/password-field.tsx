import { useSignal } from '@preact/signals'
import type { Problem } from '../../schemas/api.ts'
import { TextField } from './field.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from './say-with.ts'

/** A password, typed once: it can be shown, so it need not be typed twice. */
export function PasswordField({
  label,
  ...field
}: {
  label: string
  field: string
  autoComplete: 'new-password' | 'current-password'
  hint?: string
  minLength?: number
  problem: Problem | null
  value: string
  onValue: (value: string) => void
}) {
  const isShown = useSignal(false)
  return (
    <div class="password">
      <TextField
        {...field}
        label={label}
        type={isShown.value ? 'text' : 'password'}
        required
        maxLength={200}
      />
      <button
        type="button"
        class="quiet"
        aria-pressed={isShown.value}
        onClick={() => (isShown.value = !isShown.value)}
      >
        {sayWith('Show{unseen}', {
          unseen: <span class="unseen">{say(' what is typed under: {label}', { label })}</span>,
        })}
      </button>
    </div>
  )
}
