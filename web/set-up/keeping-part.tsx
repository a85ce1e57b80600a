import { useSignal, useSignalEffect } from '@preact/signals'
import { useEffect } from 'preact/hooks'
import type { JournalKind } from '../../schemas/journal.ts'
import type { BackupLine, KeepingNow } from '../../schemas/keeping.ts'
import { bytesWords } from '../../shared/telling/bytes-words.ts'
import { Part } from '../access/part.tsx'
import { usePage } from '../page/use-page.ts'
import { CopyLine } from '../parts/copy-line.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useAct } from '../parts/use-act.ts'
import { type Answered, useAnswer } from '../parts/use-answer.ts'
import { backupsWords, failureWords, restoreLine, roomWords } from '../words/keeping-words.ts'
import { BackupList } from './backup-list.tsx'
import { say } from '../../shared/words/say.ts'
import { sayWith } from '../parts/say-with.ts'

const aboutKeeping: ReadonlySet<JournalKind> = new Set([
  'backedUp',
  'thinned',
  'databaseSetAside',
  'clockSet',
])

/** How often it is asked for anew, in ms: while a backup is being made somebody waits for its end. */
const lookEvery = { usual: 60_000, running: 2000 } as const

/** The database, the room under it, and the copies of it. */
export function KeepingPart({ zone }: { zone: string }) {
  const page = usePage()
  const answered = useAnswer<KeepingNow>('/api/keeping')
  const said = useSignal('')
  const keeping = answered.value.value
  const isRunning = keeping?.backups.isRunning ?? false
  useEffect(() => {
    const timer = setInterval(answered.again, isRunning ? lookEvery.running : lookEvery.usual)
    return () => clearInterval(timer)
  }, [isRunning])
  useSignalEffect(() => {
    const event = page.event.value
    if (event?.kind === 'journal' && aboutKeeping.has(event.line.kind)) answered.again()
  })
  if (keeping === null)
    return (
      <Part id="keeping" title={say('Keeping')}>
        <ProblemNote problem={answered.problem.value} />
      </Part>
    )

  const { database, disk, backups, clock } = keeping
  const when = { now: page.now.value, zone, tell: page.tell }
  const failure = failureWords(keeping, when)
  const newest = backups.list[0]
  return (
    <Part id="keeping" title={say('Keeping')} said={said}>
      {database.isOnDisk ? <p>{database.sentence}</p> : <Loud words={database.sentence} />}
      <p>{roomWords(disk)}</p>
      {!clock.isTrusted && (
        <Loud words={clock.sentence ?? say('The clock of this computer is not to be trusted.')} />
      )}
      <h3>{say('Backups')}</h3>
      {failure !== null && <Loud words={failure} />}
      <p>{backupsWords(keeping, when)}</p>
      <BackupList list={backups.list} zone={zone} />
      <BackUpNow answered={answered} keeping={keeping} onSaid={(sentence) => (said.value = sentence)} />
      <p class="hint">
        {sayWith('They lie in {code} and hold everything, passwords’ hashes too: keep them to yourself.', {
          code: <code>{backups.folder}</code>,
        })}
      </p>
      {newest !== undefined && (
        <>
          <p class="hint">
            {say(
              'To go back to one, stop Brumal and run this where it was started; what is there then is set aside, not deleted.',
            )}
          </p>
          <CopyLine
            text={restoreLine(backups.folder, newest.name)}
            label={say('A line that restores the newest backup')}
          />
        </>
      )}
    </Part>
  )
}

function Loud({ words }: { words: string }) {
  return (
    <p class="problem" role="alert">
      {words}
    </p>
  )
}

function BackUpNow({
  answered,
  keeping,
  onSaid,
}: {
  answered: Answered<KeepingNow>
  keeping: KeepingNow
  onSaid: (sentence: string) => void
}) {
  const page = usePage()
  const act = useAct()
  const { isRunning, failedSince } = keeping.backups
  const isBusy = act.isBusy.value || isRunning
  const problem = act.problem.value
  // A copy may take longer than a page waits for an answer, and a failure is told above already.
  const isTold =
    (problem?.status === 0 && isRunning) || (problem?.code === 'backupFailed' && failedSince !== null)
  const press = async (): Promise<void> => {
    if (isBusy) return
    onSaid('')
    await act.run(
      () => page.ask<BackupLine>('POST', '/api/backups', {}),
      ({ bytes }) => onSaid(say('Backed up: {bytes}, looked through: whole.', { bytes: bytesWords(bytes) })),
    )
    if (act.problem.value?.code === 'backupFailed') onSaid(say('The backup failed.'))
    answered.again()
  }
  return (
    <>
      <button type="button" aria-disabled={isBusy} onClick={() => void press()}>
        {isBusy ? say('Backing up …') : say('Back up now')}
      </button>
      <ProblemNote problem={isTold ? null : problem} />
    </>
  )
}
