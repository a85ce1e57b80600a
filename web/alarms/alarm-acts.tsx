import { useSignal } from '@preact/signals'
import type { Alarm } from '../../schemas/alarm.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { askAbout } from './ask-about.ts'
import { OutOfServiceForm } from './out-of-service-form.tsx'
import { ShelveForm } from './shelve-form.tsx'
import { say } from '../../shared/words/say.ts'

/** What a keeper can do about an alarm besides acknowledging it. */
export function AlarmActs({ alarm }: { alarm: Alarm }) {
  const page = usePage()
  const act = useAct()
  const open = useSignal<'shelve' | 'outOfService' | null>(null)
  if (page.person.value?.role !== 'keeper') return null

  const done = (): void => {
    open.value = null
    void page.refresh()
  }
  const back = (what: 'unshelve' | 'return-to-service', words: string) => (
    <button
      type="button"
      disabled={act.isBusy.value}
      onClick={() => void act.run(() => askAbout(page.ask, alarm, what, {}), done)}
    >
      {words}
    </button>
  )
  const toggle = (what: 'shelve' | 'outOfService', words: string) => (
    <button
      type="button"
      class="quiet"
      aria-expanded={open.value === what}
      onClick={() => (open.value = open.value === what ? null : what)}
    >
      {words}
    </button>
  )
  const isShelved = alarm.state.name === 'shelved'
  const isOutOfService = alarm.state.name === 'outOfService'
  return (
    <>
      {isShelved && back('unshelve', say('Take off the shelf'))}
      {isOutOfService && back('return-to-service', say('Back in service'))}
      {!isShelved && !isOutOfService && toggle('shelve', 'Shelve')}
      {!isOutOfService && toggle('outOfService', say('Out of service'))}
      {open.value === 'shelve' && <ShelveForm alarm={alarm} onDone={done} />}
      {open.value === 'outOfService' && <OutOfServiceForm alarm={alarm} onDone={done} />}
      <ProblemNote problem={act.problem.value} />
    </>
  )
}
