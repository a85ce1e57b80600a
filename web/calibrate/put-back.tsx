import type { Sensor } from '../../schemas/sensor.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { takeAway } from './acts.ts'
import { Stage } from './stage.tsx'
import { useRaw } from './use-raw.ts'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

/** The last stage: only a sensor that is back in its place may speak for it again. */
export function PutBack({
  sensor,
  ended,
  zone,
  onDone,
}: {
  sensor: Sensor
  ended: 'taken' | 'givenUp'
  zone: string
  onDone: () => void
}) {
  const page = usePage()
  const act = useAct()
  const raw = useRaw(sensor.id, 'temperature', sensor.check?.since ?? page.now.peek())
  const newest = raw.readings.value.at(-1)
  return (
    <Stage title={say('Put it back')}>
      <p>
        {say(
          '{part} Dry the sensor and put it back where it was. Wait until it shows its place again, and say so: until then what it reads counts for nothing.',
          { part: ended === 'taken' ? say('The correction is taken.') : say('Nothing was changed.') },
        )}
      </p>
      {newest !== undefined && (
        <p>
          {sayWith('It shows {strong} now{part}.', {
            strong: <strong>{page.tell.shown(newest.raw, 'temperature')}</strong>,
            part: ended === 'taken' && say(', not yet corrected'),
          })}
        </p>
      )}
      {sensor.check !== undefined && (
        <p class="soft">
          {say('It counts again by itself at {clock}, wherever it is.', {
            clock: page.tell.clock(sensor.check.until, zone),
          })}
        </p>
      )}
      <div class="form-acts">
        <button
          type="button"
          class="strong"
          disabled={act.isBusy.value}
          onClick={() => void act.run(() => takeAway(page, sensor, 0), onDone)}
        >
          {say('It is back in its place')}
        </button>
      </div>
      <ProblemNote problem={act.problem.value} />
    </Stage>
  )
}
