import type { Sensor } from '../../schemas/sensor.ts'
import type { FoundCorrection } from '../../schemas/sensor-check.ts'
import { onePoint, twoPoint } from '../../shared/sensing/calibration.ts'
import { usePage } from '../page/use-page.ts'
import { useAct } from '../parts/use-act.ts'
import { correctionWords, foundWords } from '../words/check-words.ts'
import { saveCorrection } from './acts.ts'
import { Found } from './found.tsx'
import type { Notes } from './notes.ts'
import { PointForm } from './point-form.tsx'
import { Stage } from './stage.tsx'
import { held } from '../words/held.ts'
import { say } from '../../shared/words/say.ts'

/** One comparison beside a reference, or two points and the line through them. */
export function PointCheck({
  sensor,
  notes,
  zone,
  onNotes,
  onOver,
}: {
  sensor: Sensor
  notes: Notes
  zone: string
  onNotes: (notes: Notes) => void
  /** Over without anything to put back. */
  onOver: (sentence: string) => void
}) {
  const page = usePage()
  const act = useAct()
  const { tell } = page
  const { quantity, points } = notes
  const [one, other] = points
  const isTwo = notes.way === 'twoPoint'
  /** What was read until then does not count any more, should this page's time lag a little. */
  const after = (newest: number) => Math.max(page.now.peek(), newest + 1) as Notes['since']
  const end = (ended: 'taken' | 'givenUp', sentence: string): void =>
    notes.isAway ? onNotes({ ...notes, ended }) : onOver(sentence)
  const giveUp = (): void => end('givenUp', say('Nothing was changed.'))
  const again = (): void => onNotes({ ...notes, points: [], since: after(notes.since) })

  if (one === undefined || (isTwo && other === undefined))
    return (
      <PointForm
        key={points.length}
        title={
          !isTwo
            ? say('Beside the reference')
            : one === undefined
              ? say('The first point')
              : say('The second point')
        }
        sensor={sensor}
        quantity={quantity}
        since={notes.since}
        zone={zone}
        mayBeIce={isTwo && one === undefined && quantity === 'temperature'}
        onPoint={(point, newest) => onNotes({ ...notes, points: [...points, point], since: after(newest) })}
        onGiveUp={giveUp}
      />
    )

  const found = other === undefined ? onePoint(quantity, one) : twoPoint(quantity, one, other)
  if (!found.ok)
    return (
      <Stage title={say('No figure')}>
        <p class="problem" role="alert">
          {held(found.sentence)}
        </p>
        <div class="form-acts">
          <button type="button" onClick={again}>
            {say('Begin again')}
          </button>
          <button type="button" class="quiet" onClick={giveUp}>
            {say('Give up')}
          </button>
        </div>
      </Stage>
    )
  const { gain, offset, uncertainty } = found.value
  const body: FoundCorrection =
    other === undefined
      ? { method: 'entered', quantity, references: [one], note: say('Beside a reference.') }
      : { method: 'twoPoint', quantity, references: [one, other] }
  return (
    <Found
      sentence={
        isTwo
          ? say(
              'From now on a reading is corrected: {correction}. At its points that is right within ±{apart}.',
              {
                correction: correctionWords({ gain, offset, quantity }, tell),
                apart: tell.apart(2 * uncertainty, quantity),
              },
            )
          : foundWords({ offset, uncertainty, where: say('beside the reference') }, quantity, tell)
      }
      act={act}
      onTake={() =>
        void act.run(
          () => saveCorrection(page, sensor, body),
          () => end('taken', say('The correction is taken: it counts from now on.')),
        )
      }
      onAgain={again}
      onGiveUp={giveUp}
    >
      <ul class="budget">
        {points.map((point) => (
          <li key={point.raw}>
            {say('It showed {shown} where {shown2} was true, ±{apart}.', {
              shown: tell.shown(point.raw, quantity),
              shown2: tell.shown(point.true, quantity),
              apart: tell.apart(2 * point.uncertainty, quantity),
            })}
          </li>
        ))}
      </ul>
      <p class="soft">
        {isTwo ? say('Surest between the two points.') : say('Far from there it may be off by more.')}
      </p>
    </Found>
  )
}
