import type { Sensor } from '../../schemas/sensor.ts'
import type { Problem } from '../../schemas/api.ts'
import type { Instant } from '../../schemas/units.ts'
import {
  calibrationOfIcePoint,
  type IceResult,
  type IceState,
  noticeSentence,
} from '../../shared/sensing/ice-point.ts'
import type { IceReading } from '../../shared/sensing/ice-point-readings.ts'
import { replayIcePoint } from '../../shared/sensing/ice-point-replay.ts'
import { icePointSteps, mainsCaution, sealedBagSteps } from '../../shared/sensing/ice-point-steps.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { budgetWords, foundWords, type Settling, settlingAloud, settlingWords } from '../words/check-words.ts'
import type { Tell } from '../words/tell.ts'
import { saveCorrection } from './acts.ts'
import { Found } from './found.tsx'
import type { Notes } from './notes.ts'
import { QuietLine } from './quiet-line.tsx'
import { Stage } from './stage.tsx'
import { StepList } from './step-list.tsx'
import { Trace } from './trace.tsx'
import { useRaw } from './use-raw.ts'
import { held } from '../words/held.ts'
import { say } from '../../shared/words/say.ts'

/** The ice point: make the bath, put it in, wait until it rests, take what was found. */
export function IceCheck({
  sensor,
  notes,
  zone,
  onNotes,
}: {
  sensor: Sensor
  notes: Notes
  zone: string
  onNotes: (notes: Notes) => void
}) {
  const page = usePage()
  const { tell, now } = page
  const raw = useRaw(sensor.id, 'temperature', sensor.check?.since ?? notes.since)
  const protection = notes.way === 'bag' ? 'sealedBag' : 'waterproofProbe'
  const readings = raw.readings.value
  const state = replayIcePoint(sensor, { ...notes, protection }, readings, now.value as Instant)
  const begin = (): void => {
    // What was read before does not count, should this page's time lag a little
    const at = Math.max(now.peek(), readings.at(-1)?.at ?? 0) as Instant
    onNotes({ ...notes, since: at, immersedAt: at })
  }
  const since = readings.filter(({ at }) => notes.immersedAt !== null && at > notes.immersedAt)
  const settling = settlingWords(since, sensor.type, tell)
  return (
    <>
      {/* Read out when it turns, not with each reading; stays where it is, or it would not be */}
      <p class="unseen" role="status">
        {state.name === 'settling' && state.notice === null && settlingAloud[settling.name]}
        {state.name === 'settled' && wordsOf(state.result, tell)}
      </p>
      <IceStage
        state={state}
        sensor={sensor}
        notes={notes}
        zone={zone}
        since={since}
        settling={settling}
        problem={raw.problem.value}
        onBegin={begin}
        onNotes={onNotes}
      />
    </>
  )
}

const wordsOf = (result: IceResult, tell: Tell): string =>
  foundWords(
    { offset: result.offset, uncertainty: result.budget.u, where: say('in ice') },
    'temperature',
    tell,
  )

function IceStage({
  state,
  sensor,
  notes,
  zone,
  since,
  settling,
  problem,
  onBegin: begin,
  onNotes,
}: {
  state: IceState
  sensor: Sensor
  notes: Notes
  zone: string
  /** Read since the probe went in. */
  since: readonly IceReading[]
  settling: Settling
  problem: Problem | null
  onBegin: () => void
  onNotes: (notes: Notes) => void
}) {
  const page = usePage()
  const act = useAct()
  const { tell } = page
  const giveUp = (): void => onNotes({ ...notes, ended: 'givenUp' })
  switch (state.name) {
    case 'preparing':
      return (
        <Stage title={say('Make the bath')}>
          <StepList
            steps={[
              mainsCaution,
              ...(notes.way === 'bag' ? sealedBagSteps : []),
              ...icePointSteps.slice(0, -1),
            ]}
          />
          <Acts strong={say('It is in the bath')} onStrong={begin} onGiveUp={giveUp} />
        </Stage>
      )
    case 'settling': {
      const notice = state.notice === null ? null : noticeSentence[state.notice]
      const newest = since.at(-1)
      return (
        <Stage title={say('Leave it in the bath')}>
          {newest !== undefined && <p class="reading-now">{tell.shown(newest.raw, 'temperature')}</p>}
          <p>{settling.sentence}</p>
          {notice !== null && (
            <p class="problem" role="alert">
              {notice}
            </p>
          )}
          <QuietLine sensor={sensor} since={newest?.at ?? state.immersedAt} />
          <Trace readings={since} quantity="temperature" zone={zone} />
          <p class="soft">
            {say(
              'Stir gently now and then. It rests when all readings of five minutes agree, five at least.',
            )}
          </p>
          <ProblemNote problem={problem} />
          <Acts strong={null} again={say('Begin again')} onAgain={begin} onGiveUp={giveUp} />
        </Stage>
      )
    }
    case 'settled':
    case 'done': {
      const found = calibrationOfIcePoint(state.result, 'me')
      const { references, from } = found
      return (
        <Found
          sentence={wordsOf(state.result, tell)}
          act={act}
          onTake={() =>
            void act.run(
              () =>
                saveCorrection(page, sensor, {
                  method: 'icePoint',
                  quantity: 'temperature',
                  from,
                  references,
                }),
              () => onNotes({ ...notes, ended: 'taken' }),
            )
          }
          onAgain={begin}
          onGiveUp={giveUp}
        >
          <p>
            {say('{readings} readings, on average {shown}. How sure that is:', {
              readings: state.result.readings,
              shown: tell.shown(state.result.mean, 'temperature'),
            })}
          </p>
          <ul class="budget">
            {state.result.budget.lines.map((line) => (
              <li key={line.what}>
                {budgetWords(line, 'temperature', tell)} <span class="soft">{held(line.says)}</span>
              </li>
            ))}
          </ul>
        </Found>
      )
    }
    case 'refused':
      return (
        <Stage title={say('No figure')}>
          <p class="problem" role="alert">
            {held(state.sentence)}
          </p>
          <Acts
            strong={null}
            again={state.why === 'notWaterproof' ? null : say('It is in the bath: begin again')}
            onAgain={begin}
            onGiveUp={giveUp}
          />
        </Stage>
      )
    default:
      return state satisfies never
  }
}

function Acts({
  strong,
  again = null,
  onStrong,
  onAgain,
  onGiveUp,
}: {
  strong: string | null
  again?: string | null
  onStrong?: () => void
  onAgain?: () => void
  onGiveUp: () => void
}) {
  return (
    <div class="form-acts">
      {strong !== null && (
        <button type="button" class="strong" onClick={onStrong}>
          {strong}
        </button>
      )}
      {again !== null && (
        <button type="button" onClick={onAgain}>
          {again}
        </button>
      )}
      <button type="button" class="quiet" onClick={onGiveUp}>
        {say('Give up')}
      </button>
    </div>
  )
}
