import { useSignal } from '@preact/signals'
import type { Household } from '../../schemas/household.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { Instant } from '../../schemas/units.ts'
import { protectionOf } from '../../shared/sensing/ice-point-steps.ts'
import { checkHolds } from '../../shared/sensing/under-check.ts'
import { usePage } from '../page/use-page.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { takeAway } from './acts.ts'
import { CertificateForm } from './certificate-form.tsx'
import { ChooseWay } from './choose-way.tsx'
import { IceCheck } from './ice-check.tsx'
import { type Notes, useNotes } from './notes.ts'
import { PointCheck } from './point-check.tsx'
import { PutBack } from './put-back.tsx'
import { say } from '../../shared/words/say.ts'

/** The check itself, from the choice of a way to the sensor back in its place. */
export function CheckPart({ sensor, household }: { sensor: Sensor; household: Household }) {
  const page = usePage()
  const { notes, keep } = useNotes(sensor.id)
  const said = useSignal('')
  const isKeeper = page.person.value?.role === 'keeper'
  const zone = household.places.find(({ id }) => id === sensor.place)?.timeZone ?? household.timeZone
  const now = page.now.value as Instant
  const running = checkHolds(sensor.check, now) ? sensor.check : null
  const kept = notes.value
  // Ended by itself, or by somebody else
  const isLost = kept !== null && kept.isAway && running === null
  const over = (sentence: string | null): void => {
    keep(null)
    said.value = sentence ?? ''
  }
  const doing = !isKeeper || isLost ? null : kept
  return (
    <section class="part" aria-labelledby="check">
      <h2 id="check">{say('Check it')}</h2>
      {running !== null && (
        <p class="check-runs">
          {say(
            '{by} is checking it, since {time} and until {time2} at most. What it reads says nothing about its place.',
            {
              by: running.by,
              time: page.tell.when(running.since, now, zone),
              time2: page.tell.when(running.until, now, zone),
            },
          )}
        </p>
      )}
      <p role="status" class={said.value === '' ? 'unseen' : ''}>
        {said.value}
      </p>
      {isLost && (
        <p>
          {say('The check has ended: what it reads counts again. {part}', {
            part: kept.ended === 'taken' ? say('The correction is taken.') : say('Nothing more was changed.'),
          })}
        </p>
      )}
      {protectionOf(sensor.type) === 'noThermometer' ? (
        <p>{say('A contact has nothing to be corrected.')}</p>
      ) : !isKeeper ? (
        <p class="soft">
          {say('Only a keeper checks a sensor. You can see how sure it is, and what was found.')}
        </p>
      ) : doing === null ? (
        <ChooseWay
          sensor={sensor}
          household={household}
          running={running}
          onBegin={(next) => {
            said.value = ''
            keep(next)
          }}
        />
      ) : (
        <Doing sensor={sensor} notes={doing} zone={zone} onNotes={keep} onOver={over} />
      )}
      {isKeeper && running !== null && doing === null && <EndIt sensor={sensor} onOver={over} />}
    </section>
  )
}

function Doing({
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
  onOver: (sentence: string | null) => void
}) {
  if (notes.ended !== null)
    return (
      <PutBack
        sensor={sensor}
        ended={notes.ended}
        zone={zone}
        onDone={() => onOver(say('The check is over: what it reads counts again.'))}
      />
    )
  switch (notes.way) {
    case 'ice':
    case 'bag':
      return <IceCheck sensor={sensor} notes={notes} zone={zone} onNotes={onNotes} />
    case 'twoPoint':
    case 'reference':
      return <PointCheck sensor={sensor} notes={notes} zone={zone} onNotes={onNotes} onOver={onOver} />
    case 'certificate':
      return <CertificateForm sensor={sensor} quantity={notes.quantity} onOver={onOver} />
    default:
      return notes.way satisfies never
  }
}

function EndIt({ sensor, onOver }: { sensor: Sensor; onOver: (sentence: string) => void }) {
  const page = usePage()
  const act = useAct()
  return (
    <div class="stage">
      <button
        type="button"
        disabled={act.isBusy.value}
        onClick={() =>
          void act.run(
            () => takeAway(page, sensor, 0),
            () => onOver(say('The check is over: what it reads counts again.')),
          )
        }
      >
        {say('End the check: it is back in its place')}
      </button>
      <ProblemNote problem={act.problem.value} />
    </div>
  )
}
