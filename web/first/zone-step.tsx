import type { House } from '../../schemas/api.ts'
import { say } from '../../shared/words/say.ts'
import { houseOf } from '../page/page.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { keptZone } from './kept-choice.ts'

/** The house's clock is not this browser's: which of the two is right? Nights and quiet hours go by it. */
export function ZoneStep({ zone }: { zone: string }) {
  const page = usePage()
  const act = useAct()
  const home = page.household.value
  if (home === null) return null
  const take = (): void =>
    void act.run(
      () => page.ask<House>('PUT', '/api/house', { ...houseOf(home), timeZone: zone }),
      () => void page.refresh(),
    )
  return (
    <>
      <p>
        {say(
          'The house is in {house}, this browser in {browser}. Nights and reminders go by the clock of the house.',
          {
            house: home.timeZone,
            browser: zone,
          },
        )}
      </p>
      <div class="form-acts">
        <button type="button" class="strong" disabled={act.isBusy.value} onClick={take}>
          {say('Take {zone}', { zone })}
        </button>
        <button type="button" class="quiet" onClick={() => keptZone.keep(home.timeZone)}>
          {say('Keep {zone}', { zone: home.timeZone })}
        </button>
      </div>
      <ProblemNote problem={act.problem.value} />
    </>
  )
}
