import type { Sensor } from '../../schemas/sensor.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { takeAway } from './acts.ts'
import { Stage } from './stage.tsx'
import { useRaw } from './use-raw.ts'

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
    <Stage title="Put it back">
      <p>
        {ended === 'taken' ? 'The correction is taken.' : 'Nothing was changed.'} Dry the sensor and put it
        back where it was. Wait until it shows its place again, and say so: until then what it reads counts
        for nothing.
      </p>
      {newest !== undefined && (
        <p>
          It shows <strong>{page.tell.shown(newest.raw, 'temperature')}</strong> now
          {ended === 'taken' && ', not yet corrected'}.
        </p>
      )}
      {sensor.check !== undefined && (
        <p class="soft">
          It counts again by itself at {page.tell.clock(sensor.check.until, zone)}, wherever it is.
        </p>
      )}
      <div class="form-acts">
        <button
          type="button"
          class="strong"
          disabled={act.isBusy.value}
          onClick={() => void act.run(() => takeAway(page, sensor, 0), onDone)}
        >
          It is back in its place
        </button>
      </div>
      <ProblemNote problem={act.problem.value} />
    </Stage>
  )
}
